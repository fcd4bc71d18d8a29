import type { TimedReading } from "../../protocols/reading.js";
import { isOnSamePoints } from "./order/set-up.js";
import type { Step } from "./schema.js";
import type { Ended } from "./step-in-progress.js";
import { alike } from "./touch.js";
import type { Gesture } from "./touch.js";

/** Lifted and back on the same points within this time after the verdict: once more, please. */
const AGAIN_WITHIN_S = 1;

/** After a measuring step, unless the probes may stay where they are for the next one. */
export function againAfter({ step, reading }: Ended, next: Step): AgainGesture | null {
  if (step.kind !== "measure" || reading === null || isOnSamePoints(step, next)) return null;
  return new AgainGesture(step.id, reading);
}

/** Recognises "lift and touch again within a second" after the verdict of a measuring step. */
export class AgainGesture {
  private lifted = false;

  /** `held` is the last reading of the step that has just been judged. */
  constructor(
    private readonly step: string,
    private readonly held: TimedReading,
  ) {}

  /** The step to repeat, with the reading that completes the gesture; else null. */
  push(reading: TimedReading, gesture: Gesture): string | null {
    const soon = (time_s: number) => time_s - this.held.time_s <= AGAIN_WITHIN_S;
    if (gesture.lifted && soon(reading.time_s)) this.lifted = true;
    if (!gesture.touched || !this.lifted) return null;
    const same = alike(gesture.touched.reading, this.held);
    this.lifted = false;
    return same && soon(gesture.touched.since_s) ? this.step : null;
  }
}
