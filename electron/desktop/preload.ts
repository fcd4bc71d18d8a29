import { contextBridge, ipcRenderer } from "electron";

/**
 * All that a page gets: send one request envelope, hear what the bench says. The message port
 * itself stays here, and so do ipcRenderer and the raw events. Envelopes are checked by the bench
 * process when they arrive and by the page when they come back.
 */
let port: MessagePort | null = null;
let hear: (message: unknown) => void = () => undefined;
const waiting: unknown[] = [];

ipcRenderer.on("bench-port", (event) => {
  port?.close();
  port = event.ports[0] ?? null;
  if (!port) return;
  port.onmessage = ({ data }: MessageEvent<unknown>) => {
    hear(data);
  };
  for (const message of waiting.splice(0)) port.postMessage(message);
});

contextBridge.exposeInMainWorld("leadhand", {
  send(envelope: unknown): void {
    if (port) port.postMessage(envelope);
    else waiting.push(envelope);
  },
  onMessage(listener: (message: unknown) => void): void {
    hear = listener;
  },
});
