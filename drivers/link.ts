import type { LeadhandError } from "../protocols/error.js";
import type { Chunk } from "../protocols/raw-log.js";

/** Why a link ended. `error` is absent when we closed it ourselves. */
export interface Closed {
  readonly by: "us" | "unplugged" | "peer" | "end-of-recording" | "failure";
  readonly error?: LeadhandError;
}

/**
 * A way for bytes to arrive. Single use: after it closed, a reconnect makes a new one. `open`
 * rejects with a `LeadhandError` of area `meter`. `close` is awaited and idempotent. Handlers are
 * set before `open`; no chunk is delivered after `onClosed`, which is called exactly once for a
 * link that opened.
 */
export interface Link {
  onChunk: (chunk: Chunk) => void;
  onClosed: (closed: Closed) => void;
  open(): Promise<void>;
  write(bytes: Uint8Array): Promise<void>;
  close(): Promise<void>;
}
