import type { Bridge } from "../../workbench/contract/bridge.js";
import { browserScheduler } from "./bench-client.js";
import type { BenchClient, BenchListener } from "./bench-client.js";
import { BridgeClient } from "./bridge-client.js";
import { SocketClient } from "./socket-client.js";

declare global {
  interface Window {
    readonly leadhand?: Bridge;
  }
}

/** The way to the bench that this page was opened with: the desktop app's, else a WebSocket. */
export function connect(listener: BenchListener): BenchClient {
  if (window.leadhand !== undefined) return new BridgeClient(window.leadhand, listener);
  const url = socketUrl(window.location);
  const open = (address: string): WebSocket => new WebSocket(address);
  return new SocketClient({ url, scheduler: browserScheduler, open }, listener);
}

/** The bench answers where the page came from; the cookie set with the page opens it. */
function socketUrl(location: Pick<Location, "protocol" | "host">): string {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  return `${scheme}//${location.host}/bench`;
}
