import type { TimedReading } from "../../protocols/reading.js";
import type { Band, ContactState } from "../measurement/watch.js";
import type { Gesture } from "./touch.js";
import type { RunPrompt } from "./run-event.js";
import type { StepResult } from "./step-result.js";

/** What a step in progress makes of one reading. */
export interface Progress {
  readonly contact: ContactState | null;
  readonly band: Band | null;
  /** What the person is asked now; null: nothing beyond the instruction. */
  readonly prompt: RunPrompt | null;
  readonly done: Done | null;
  /** Of an answer that is being counted: each one is something that happens. */
  readonly touches?: number;
}

export interface Done {
  readonly result: StepResult;
  /**
   * The reading that is still on the probes and is not the next step's: it has to go away first.
   * null where the probes are free, or already on the next step's points.
   */
  readonly left: TimedReading | null;
}

/** A step in progress. Time comes from the readings alone. */
export interface Activity {
  push(reading: TimedReading, gesture: Gesture): Progress;
}

export const WAITING: Progress = { contact: null, band: null, prompt: null, done: null };
