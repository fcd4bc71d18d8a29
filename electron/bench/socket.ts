import type { RawData, WebSocket } from "ws";
import type { BenchEvent } from "../../workbench/contract/events.js";
import type { BenchPort } from "./bench-port.js";

/** More than this waiting in a window's socket means that the window does not keep up. */
const BEHIND_BYTES = 1 << 20;

/**
 * One window on a WebSocket. A window that is frozen or slow is not waited for and costs no
 * memory: its events are dropped, and when it reads again it gets a fresh snapshot.
 */
export function serveSocket(bench: BenchPort, socket: WebSocket): void {
  let behind = false;
  const send = (event: BenchEvent) => {
    socket.send(JSON.stringify(event));
  };
  const pass = (event: BenchEvent) => {
    if (!behind && socket.bufferedAmount < BEHIND_BYTES) {
      send(event);
      return;
    }
    behind = socket.bufferedAmount > 0;
    if (!behind) for (const each of bench.snapshot()) send(each);
  };
  for (const event of bench.snapshot()) send(event);
  const unsubscribe = bench.subscribe(pass);
  socket.on("message", (data) => {
    void bench.answer(parsed(data)).then((reply) => {
      socket.send(JSON.stringify(reply));
    });
  });
  socket.on("close", unsubscribe);
  // A broken socket closes next; there is nobody to tell.
  socket.on("error", () => undefined);
}

function parsed(data: RawData): unknown {
  try {
    return JSON.parse((data as Buffer).toString("utf8")) as unknown;
  } catch {
    return null;
  }
}
