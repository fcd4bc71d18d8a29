import type { TimedReading } from "../../protocols/reading.js";
import { ContactTracker } from "../measurement/contact.js";
import { meterTrouble } from "../measurement/dial.js";
import { ZeroProof } from "../measurement/proof.js";
import type {
  Outcome,
  Prompt,
  Watch,
  WatchFactory,
  WatchTarget,
  WatchUpdate,
} from "../measurement/watch.js";
import { changeOutcome } from "./change-outcome.js";
import { LeftOver } from "./left-over.js";
import { PressLog } from "./press-log.js";

export interface ChangeParameters {
  readonly window_s: number;
  readonly times: number;
}

/** Counts that a closed contact may move at rest. */
const COUNTS = 5;
/** Nothing for this long: the trigger is asked for. */
const ASK_SQUEEZE_S = 3;
/** Still closed this long after the release was asked for: it does not open. */
const STUCK_S = 6;
/** The proof of an open circuit waits four of these, so that the trigger is worked meanwhile. */
const PROOF_WINDOW_S = 2;
/** With an interruption in a press, that many more are asked for: a probe may have slipped. */
const MORE_PRESSES = 1;
/**
 * Presses that never came to rest beyond those that are wanted: a slow meter may still have been
 * looking for its range when the trigger was let go, and that is no fault of the switch.
 */
const MORE_RESTLESS = 2;

/**
 * A switch under the trigger: open until it is pressed, closed while it is pressed, open again.
 * The value is what it shows closed and at rest; open throughout counts only when proved.
 */
export const changeWatch: WatchFactory<ChangeParameters> = (target, parameters, left) =>
  new ChangeWatch(target, parameters, left);

const STAYING: WatchUpdate = { contact: "touching", band: null, prompt: null, outcome: null };

class ChangeWatch implements Watch {
  readonly #target: WatchTarget;
  readonly #parameters: ChangeParameters;
  readonly #left: LeftOver;
  readonly #contact: ContactTracker;
  readonly #proof: ZeroProof;
  readonly #log: PressLog;
  #start_s: number | null = null;
  #releaseAsked_s: number | null = null;

  constructor(target: WatchTarget, parameters: ChangeParameters, left: TimedReading | null) {
    this.#target = target;
    this.#left = new LeftOver(left);
    this.#parameters = parameters;
    this.#contact = new ContactTracker({ window_s: parameters.window_s, counts: COUNTS });
    this.#proof = new ZeroProof(target.quantity, PROOF_WINDOW_S);
    this.#log = new PressLog(parameters.window_s);
  }

  push(reading: TimedReading): WatchUpdate {
    this.#start_s ??= reading.time_s;
    const trouble = meterTrouble(this.#target, reading);
    if (trouble !== null) {
      this.#contact.lose();
      this.#proof.interrupt();
      return this.#update(trouble, null);
    }
    if (this.#left.isStill(reading)) return STAYING;
    this.#contact.push(reading);
    const isReference = !this.#proof.acceptsValue;
    if (!this.#log.hasRested && !this.#log.isRunning)
      this.#proof.push(reading.time_s, this.#contact);
    if (!isReference) this.#log.push(reading, this.#contact);
    this.#followRelease(reading.time_s);
    const outcome = this.#outcome(reading);
    return this.#update(outcome ? null : this.#prompt(reading), outcome);
  }

  #update(prompt: Prompt | null, outcome: Outcome | null): WatchUpdate {
    const { state, band } = this.#contact;
    return {
      contact: outcome ? "held" : state === "held" ? "settling" : state,
      band,
      prompt,
      outcome,
    };
  }

  #prompt({ time_s }: TimedReading): Prompt | null {
    if (this.#proof.prompt) return this.#proof.prompt;
    if (this.#log.isRunning) return this.#log.mayEnd ? { kind: "release" } : null;
    const waited_s = time_s - (this.#start_s ?? time_s);
    const asks = this.#log.hasPresses || waited_s >= ASK_SQUEEZE_S;
    return asks && this.#contact.touch === "none" ? { kind: "squeeze" } : null;
  }

  #outcome(reading: TimedReading): Outcome | null {
    const found = { reading, start_s: this.#start_s ?? reading.time_s, log: this.#log };
    if (this.#proof.proved) return changeOutcome({ ...found, kind: "never-closed" });
    if (this.#isStuck(reading.time_s)) return changeOutcome({ ...found, kind: "never-opens" });
    const wanted = this.#parameters.times + (this.#log.interruptions > 0 ? MORE_PRESSES : 0);
    const telling = this.#log.presses.filter(
      ({ rest, interruptions }) => rest !== null || interruptions > 0,
    ).length;
    const enough = telling >= wanted || this.#log.presses.length >= wanted + MORE_RESTLESS;
    return enough ? changeOutcome({ ...found, kind: "works" }) : null;
  }

  /** Since when it is closed although it may open. */
  #followRelease(time_s: number): void {
    const closed = this.#log.mayEnd && this.#contact.touch === "value";
    this.#releaseAsked_s = closed ? (this.#releaseAsked_s ?? time_s) : null;
  }

  #isStuck(time_s: number): boolean {
    return this.#releaseAsked_s !== null && time_s - this.#releaseAsked_s >= STUCK_S;
  }
}
