import type { MessageEvent, MessagePortMain, ParentPort } from "electron";
import type { BenchPort } from "./bench-port.js";
import { Bench } from "./bench.js";
import { benchOptions } from "./options.js";

/** The bench process inside the desktop app: each window comes with a message port of its own. */
const parent = (process as unknown as { parentPort: ParentPort }).parentPort;
const bench = new Bench(benchOptions(process.argv.slice(2), process.env));
void bench.begin();

// Since Electron 37 an unhandled rejection here would only warn; a defect must be seen.
process.on("unhandledRejection", (reason) => {
  throw reason instanceof Error ? reason : new Error(String(reason));
});

parent.on("message", (event: MessageEvent) => {
  const port = event.ports[0];
  if (port) servePort(bench, port);
  else if (event.data === "suspend") bench.interrupted();
  else if (event.data === "resume") bench.resumed();
});

function servePort(benchPort: BenchPort, port: MessagePortMain): void {
  for (const event of benchPort.snapshot()) port.postMessage(event);
  const unsubscribe = benchPort.subscribe((event) => {
    port.postMessage(event);
  });
  port.on("message", ({ data }) => {
    void benchPort.answer(data).then((reply) => {
      port.postMessage(reply);
    });
  });
  port.on("close", unsubscribe);
  port.start();
}
