import { MessageChannel } from "node:worker_threads";
import { expect, test } from "vitest";
import { BenchPipe } from "../../electron/preload/pipe.js";
import type { Port } from "../../electron/preload/pipe.js";

/** The far end of a real message channel that answers every request with its own name. */
function echoingPort(): { port: Port; close: () => void } {
  const { port1, port2 } = new MessageChannel();
  port2.on("message", ({ id, call }: { id: number; call: string }) => {
    port2.postMessage({ id, ok: true, result: call });
  });
  return { port: port1 as unknown as Port, close: () => port2.close() };
}

test("what was asked before there was a bench is answered when it is there", async () => {
  const pipe = new BenchPipe();
  const answer = pipe.call("listPlans", {});
  const { port, close } = echoingPort();
  pipe.connect(port);
  expect(await answer).toMatchObject({ ok: true, result: "listPlans" });
  close();
});

test("events that came before the page listened are handed over in order", () => {
  const pipe = new BenchPipe();
  const { port, close } = echoingPort();
  pipe.connect(port);
  pipe.disconnect();
  const heard: unknown[] = [];
  pipe.onEvent((event) => heard.push(event));
  expect(heard).toEqual([
    { type: "bench", state: "there" },
    { type: "bench", state: "gone" },
  ]);
  close();
});

test("a question that the bench can no longer answer is answered with what to do", async () => {
  const pipe = new BenchPipe();
  const { port1, port2 } = new MessageChannel();
  pipe.connect(port1 as unknown as Port);
  const answer = pipe.call("listMeters", {});
  pipe.disconnect();
  expect(await answer).toMatchObject({ ok: false, error: { code: "desktop/bench-gone" } });
  port2.close();
});
