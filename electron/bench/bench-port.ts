import type { BenchEvent } from "../../workbench/contract/events.js";
import type { Reply } from "../../workbench/contract/calls.js";

/**
 * The bench as a window sees it, whatever lies between: a WebSocket on loopback or a message port.
 */
export interface BenchPort {
  /** Everything a window that has just connected must be told to draw the present state. */
  snapshot(): readonly BenchEvent[];
  /** Calls `listener` for each event from now on; the returned function ends that. */
  subscribe(listener: (event: BenchEvent) => void): () => void;
  /** Answers one request envelope; never rejects, whatever the envelope holds. */
  answer(request: unknown): Promise<Reply>;
}
