import type { TimedReading } from "../../protocols/reading.js";
import { meterTrouble } from "../measurement/dial.js";
import { WAITING } from "./activity.js";
import type { Activity, Done, Progress } from "./activity.js";
import { plainResult } from "./step-results.js";
import type { WatchTarget } from "../measurement/watch.js";
import { touchOf, yesTouch } from "./touch.js";
import type { Gesture } from "./touch.js";

/** HOLD has been forgotten when it is on for longer than this. */
const HOLD_LEFT_ON_S = 3;

/** What the stream can say about a `do` step. */
export interface DoContext {
  readonly step: string;
  readonly started_s: number;
  /** What the next measuring step wants of the meter; null where none follows. */
  readonly next: WatchTarget | null;
  /** Tells the known source, or tips held together, from the next step's points. */
  readonly isTip: (reading: TimedReading) => boolean;
}

/**
 * A `do` step. The person says yes by going on: turning the dial to the next step's function,
 * touching the next step's points, touching the known source (on ohms: tips together), or with the
 * meter's HOLD key. The probes must have been off before a touch counts.
 */
export class DoActivity implements Activity {
  private dialWasWrong = false;
  private heldSince_s: number | null = null;
  private lifted: boolean;

  constructor(
    private readonly context: DoContext,
    touching: boolean | null,
  ) {
    this.lifted = touching === false;
  }

  push(reading: TimedReading, gesture: Gesture): Progress {
    const done = this.answer(reading, gesture);
    // Also at the very start of a plan, where nothing has been touched that could be lifted.
    if (gesture.lifted || touchOf(reading) === "nothing") this.lifted = true;
    return { ...WAITING, prompt: { kind: "confirm", by: yesTouch(reading) }, done };
  }

  private answer(reading: TimedReading, gesture: Gesture): Done | null {
    if (this.heldAndLetGo(reading, gesture))
      return this.done("confirmed with the meter's HOLD key", reading, null);
    if (this.turned(reading)) return this.done("confirmed by turning the dial", reading, null);
    if (!gesture.touched || !this.lifted) return null;
    return this.context.isTip(gesture.touched.reading)
      ? this.done("confirmed by a touch", reading, reading)
      : this.done("confirmed by going on to the next points", reading, null);
  }

  /** HOLD is a yes once it is off again: what follows needs a live meter. Left on, it is told later. */
  private heldAndLetGo(reading: TimedReading, gesture: Gesture): boolean {
    if (gesture.held) this.heldSince_s = reading.time_s;
    if (this.heldSince_s === null) return false;
    return !reading.flags.includes("hold") || reading.time_s - this.heldSince_s > HOLD_LEFT_ON_S;
  }

  /** The dial came to the next step's function while this step was waiting. */
  private turned(reading: TimedReading): boolean {
    if (this.context.next === null) return false;
    const right = meterTrouble(this.context.next, reading)?.kind !== "turn-dial";
    if (!right) this.dialWasWrong = true;
    return right && this.dialWasWrong;
  }

  private done(reason: string, reading: TimedReading, left: TimedReading | null): Done {
    const { step, started_s } = this.context;
    return {
      result: plainResult(step, "not-judged", reason, { started_s, ended_s: reading.time_s }),
      left,
    };
  }
}
