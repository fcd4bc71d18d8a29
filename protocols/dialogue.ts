import type { DecoderStats } from "./decoder.js";
import type { Reading } from "./reading.js";

/** What the session should do now: send, sleep until, and what was learnt. */
export interface DialogueStep {
  readonly write: Uint8Array | null;
  /** Call `onTimer` at this time, seconds on the caller's clock, unless bytes come first. */
  readonly wake_s: number | null;
  readonly readings: readonly Reading[];
  /** For each reading, how many bytes had been taken since `start` when its answer was whole. */
  readonly ends: readonly number[];
  /** What a person should know: identification, instrument errors. */
  readonly notes: readonly string[];
}

/**
 * The asking side of a protocol that must be asked, as a pure state machine: no clock and no I/O
 * of its own. The session feeds it bytes and time and does what it says.
 */
export interface Dialogue {
  start(now_s: number): DialogueStep;
  onBytes(bytes: Uint8Array, now_s: number): DialogueStep;
  onTimer(now_s: number): DialogueStep;
  readonly stats: DecoderStats;
}
