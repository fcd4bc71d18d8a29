import type { TimedReading } from "../../protocols/reading.js";
import type { Activity } from "./activity.js";
import type { Patience } from "./patience.js";
import type { MeasureStep, Step } from "./schema.js";

/** The step in progress. */
export interface Now {
  readonly step: Step;
  /** The measuring step that it makes way for. */
  readonly next: MeasureStep | null;
  activity: Activity;
  patience: Patience;
  shown: { contact: string; prompt: string };
  /** Nothing was done for it yet: another order may put another step in its place. */
  untouched: boolean;
  /** What was said last, for the one repeat. */
  words: string;
}

/** How the step before came to its end. */
export interface Ended {
  readonly step: Step;
  /** What is still on the probes. */
  readonly left: TimedReading | null;
  /** The reading that ended it. */
  readonly reading: TimedReading | null;
}
