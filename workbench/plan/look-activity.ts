import type { TimedReading } from "../../protocols/reading.js";
import { WAITING } from "./activity.js";
import type { Activity, Done, Progress } from "./activity.js";
import type { LookStep } from "./schema.js";
import { plainResult } from "./step-results.js";
import { touchOf, yesTouch } from "./touch.js";
import type { Gesture } from "./touch.js";

/** Quiet for this long after the last touch: the person has finished counting. */
const COUNTED_S = 1.2;
/** A touch held for this long is the last one. */
const STAYED_S = 2;

/**
 * A `look` step: a question with choices, answered by touching the known source (on ohms: the tips
 * together) once for the first choice, twice for the second, and so on.
 */
export class LookActivity implements Activity {
  private touches = 0;
  /** Nothing on the probes without interruption since then: a touch that rubs is not counted out. */
  private quietSince_s: number | null = null;
  /** A touch that lasts until then is the last one. */
  private stayedAt_s: number | null = null;

  constructor(
    private readonly step: LookStep,
    private readonly started_s: number,
  ) {}

  push(reading: TimedReading, gesture: Gesture): Progress {
    this.count(reading, gesture);
    return {
      ...WAITING,
      prompt: { kind: "choose", by: yesTouch(reading) },
      done: this.answer(reading),
    };
  }

  private count(reading: TimedReading, gesture: Gesture): void {
    const { time_s } = reading;
    if (gesture.touched) {
      this.touches += 1;
      this.stayedAt_s = time_s + STAYED_S;
    }
    if (touchOf(reading) === "nothing") {
      this.quietSince_s ??= time_s;
      this.stayedAt_s = null;
    } else this.quietSince_s = null;
  }

  private answer({ time_s }: TimedReading): Done | null {
    const { quietSince_s, stayedAt_s, touches } = this;
    const counted = quietSince_s !== null && time_s - quietSince_s >= COUNTED_S;
    const stayed = stayedAt_s !== null && time_s >= stayedAt_s;
    if (touches === 0 || !(counted || stayed)) return null;
    this.touches = 0;
    const choice = this.step.choices[touches - 1];
    if (!choice) return null;
    return lookDone(this.step, choice.id, this.started_s, time_s);
  }
}

/** The result of a choice, however it was made; null where there is no such choice. */
export function lookDone(
  step: LookStep,
  choiceId: string | null,
  started_s: number,
  ended_s: number,
): Done | null {
  const choice = step.choices.find(({ id }) => id === choiceId);
  if (!choice) return null;
  const span = { started_s, ended_s };
  const result = plainResult(step.id, choice.verdict, `seen: ${choice.label}`, span);
  // For the reasoning, which knows choices by their ids.
  const details = { choice: { value: null, unit: "", note: choice.id } };
  return { result: { ...result, details }, left: null };
}
