import type { TimedReading } from "../../protocols/reading.js";
import { ContactTracker, countOf } from "../measurement/contact.js";
import { meterTrouble } from "../measurement/dial.js";
import { ZeroProof } from "../measurement/proof.js";
import type { SteadyOptions } from "../measurement/steady.js";
import type {
  Outcome,
  Prompt,
  Watch,
  WatchFactory,
  WatchTarget,
  WatchUpdate,
} from "../measurement/watch.js";

/** Seconds after which a value that never moved since the step before is asked to be re-seated. */
const LEFT_PATIENCE_S = 4;

/** Holds the first honest reading of the step: the value at rest, or a proved zero or open. */
export const settleWatch: WatchFactory<SteadyOptions> = (target, parameters, left) =>
  new SettleWatch(target, parameters, left);

class SettleWatch implements Watch {
  readonly #target: WatchTarget;
  readonly #window_s: number;
  readonly #contact: ContactTracker;
  readonly #proof: ZeroProof;
  #left: TimedReading | null;
  #start_s: number | null = null;
  #leftPrompt: Prompt | null = null;

  constructor(target: WatchTarget, parameters: SteadyOptions, left: TimedReading | null) {
    this.#target = target;
    this.#window_s = parameters.window_s;
    this.#contact = new ContactTracker(parameters);
    this.#proof = new ZeroProof(target.quantity, parameters.window_s);
    this.#left = left;
  }

  push(reading: TimedReading): WatchUpdate {
    this.#start_s ??= reading.time_s;
    const trouble = meterTrouble(this.#target, reading);
    if (trouble !== null) {
      this.#contact.lose();
      this.#proof.interrupt();
      return this.#update(trouble, null);
    }
    this.#contact.push(reading);
    if (this.#isLeft(reading)) return this.#update(this.#leftPrompt, null);
    const outcome = this.#held(reading) ?? this.#nothing(reading);
    return this.#update(outcome === null ? this.#proof.prompt : null, outcome);
  }

  #update(prompt: Prompt | null, outcome: Outcome | null): WatchUpdate {
    const { state, band } = this.#contact;
    const contact = outcome !== null ? "held" : state === "held" ? "settling" : state;
    return { contact, band, prompt, outcome };
  }

  /** Still the reading of the step before: the probes have not moved yet. */
  #isLeft(reading: TimedReading): boolean {
    const left = this.#left;
    if (left === null) return false;
    if (!isSame(left, reading) || this.#contact.touch !== "value") {
      this.#left = null;
      return false;
    }
    const waited = reading.time_s - (this.#start_s ?? reading.time_s);
    if (waited > LEFT_PATIENCE_S) this.#leftPrompt = { kind: "reseat" };
    return true;
  }

  #held(reading: TimedReading): Outcome | null {
    const { rest } = this.#contact;
    if (rest === null || !this.#proof.acceptsValue) {
      if (this.#target.zero === "prove") this.#proof.push(reading.time_s, this.#contact);
      return null;
    }
    const reversed = rest.mean < 0 && this.#target.polarity === "either";
    return {
      ...outcomeOf(reading, rest.since_s),
      value: reversed ? -rest.mean : rest.mean,
      polarity: reversed ? "reversed" : "as-marked",
      spread: rest.spread,
      samples: rest.samples,
    };
  }

  /** Zero or open, where that is what the points show. */
  #nothing(reading: TimedReading): Outcome | null {
    const since_s = this.#contact.noneSince_s;
    if (since_s === null || this.#contact.touch !== "none") return null;
    const proving = this.#target.zero === "prove";
    const done = proving ? this.#proof.proved : reading.time_s - since_s >= this.#window_s;
    if (!done) return null;
    return { ...outcomeOf(reading, since_s), zero: proving ? "proved" : "accepted" };
  }
}

function outcomeOf(reading: TimedReading, started_s: number): Outcome {
  return {
    value: reading.value,
    unit: reading.unit,
    resolution: reading.resolution,
    overload: reading.overload,
    polarity: "as-marked",
    zero: null,
    spread: 0,
    samples: 1,
    started_s,
    ended_s: reading.time_s,
    details: {},
  };
}

function isSame(left: TimedReading, reading: TimedReading): boolean {
  if (left.quantity !== reading.quantity || left.channel !== reading.channel) return false;
  if (left.value === null || reading.value === null) return left.overload === reading.overload;
  const count = Math.max(countOf(left), countOf(reading));
  return Math.abs(left.value - reading.value) <= 10 * count;
}
