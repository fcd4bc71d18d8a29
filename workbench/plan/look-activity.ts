import type { TimedReading } from "../../protocols/reading.js";
import { WAITING } from "./activity.js";
import type { Activity, Done, Progress } from "./activity.js";
import type { LookStep } from "./schema.js";
import { plainResult } from "./step-results.js";
import { alike, TOUCH_S, touchOf, yesTouch } from "./touch.js";
import type { Gesture, Touch } from "./touch.js";

/** Quiet for this long after the last touch: the person has finished counting. */
const COUNTED_S = 1.2;
/** A touch held for this long is the last one. */
const STAYED_S = 2;
/** On something for this long, and no touch made of it: one that rubbed, so that the count is not sure. */
const RUBBED_S = 0.25;

/** Probes on something after they were on nothing. */
interface Spell {
  first_s: number | null;
  last_s: number;
  /** A touch has become of it. */
  counted: boolean;
}

/**
 * A `look` step: a question with choices, answered by touching the known source (on ohms: the tips
 * together) once for the first choice, twice for the second, and so on. A touch that rubbed may have
 * been one or none: then nothing is taken for the answer, and the question is put once more.
 */
export class LookActivity implements Activity {
  private touches = 0;
  /** Nothing on the probes without interruption since then: a touch that rubs is not counted out. */
  private quietSince_s: number | null = null;
  /** A touch that lasts until then is the last one. */
  private stayedAt_s: number | null = null;
  /** null: what was there as the step began is not of its touches. */
  private spell: Spell | null = null;
  private first: TimedReading | null = null;
  private moved: TimedReading | null = null;
  private rubbed = false;
  private unclear = 0;

  constructor(
    private readonly step: LookStep,
    private readonly started_s: number,
  ) {}

  push(reading: TimedReading, gesture: Gesture): Progress {
    this.count(reading, gesture);
    const done = this.answer(reading);
    const asked = { kind: "choose", by: yesTouch(reading) } as const;
    const prompt = this.unclear > 0 ? { ...asked, unclear: this.unclear } : asked;
    return { ...WAITING, prompt, done, touches: this.touches };
  }

  private count(reading: TimedReading, gesture: Gesture): void {
    const { time_s } = reading;
    if (gesture.touched ?? this.hasMoved(reading)) {
      this.touches += 1;
      this.stayedAt_s = time_s + STAYED_S;
    }
    const touch = touchOf(reading);
    if (touch === "nothing") {
      this.quietSince_s ??= time_s;
      this.stayedAt_s = null;
    } else this.quietSince_s = null;
    this.followRub(touch, gesture, time_s);
  }

  /**
   * From what the probes were on as the step began straight to something else, faster than a slow
   * display comes down: the first touch, although nobody saw them lifted.
   */
  private hasMoved(reading: TimedReading): boolean {
    this.first ??= reading;
    const { first, moved } = this;
    if (this.spell !== null || touchOf(first) !== "signal" || touchOf(reading) !== "signal") {
      this.moved = null;
      return false;
    }
    if (alike(first, reading)) return false;
    if (moved === null || !alike(moved, reading)) this.moved = reading;
    else if (reading.time_s - moved.time_s >= TOUCH_S) {
      this.spell = { first_s: null, last_s: reading.time_s, counted: true };
      return true;
    }
    return false;
  }

  /** A spell on something, from nothing to nothing: either a touch became of it, or it rubbed. */
  private followRub(touch: Touch, gesture: Gesture, time_s: number): void {
    if (touch === "nothing") {
      const { spell } = this;
      if (spell?.first_s != null && !spell.counted)
        this.rubbed ||= spell.last_s - spell.first_s >= RUBBED_S;
      this.spell = { first_s: null, last_s: time_s, counted: false };
      return;
    }
    if (this.spell === null) return;
    if (gesture.touched) this.spell.counted = true;
    if (touch !== "signal") return;
    this.spell.first_s ??= time_s;
    this.spell.last_s = time_s;
  }

  private answer({ time_s }: TimedReading): Done | null {
    const { quietSince_s, stayedAt_s, touches } = this;
    const counted = quietSince_s !== null && time_s - quietSince_s >= COUNTED_S;
    const stayed = stayedAt_s !== null && time_s >= stayedAt_s;
    if (counted && (this.rubbed || touches > this.step.choices.length)) {
      this.touches = 0;
      this.rubbed = false;
      this.unclear += 1;
      return null;
    }
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
