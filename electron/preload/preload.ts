import { contextBridge, ipcRenderer } from "electron";
import type { Bridge } from "../../workbench/contract/bridge.js";
import { BenchPipe } from "./pipe.js";

/**
 * All that a page gets, by name: ask, and listen. The message port stays here, and so do
 * ipcRenderer and its raw events.
 */
const pipe = new BenchPipe();

ipcRenderer.on("bench-port", (event) => {
  const port = event.ports[0];
  if (port) pipe.connect(port);
});
ipcRenderer.on("bench-gone", () => {
  pipe.disconnect();
});

const bridge: Bridge = {
  call: (name, params) => pipe.call(name, params),
  onEvent: (listener) => pipe.onEvent(listener),
};
contextBridge.exposeInMainWorld("leadhand", bridge);
