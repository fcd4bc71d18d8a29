import type { TimedReading } from "../../protocols/reading.js";
import { ContactTracker } from "../measurement/contact.js";
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
import { LeftOver } from "./left-over.js";

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
  readonly #left: LeftOver;
  #start_s: number | null = null;

  constructor(target: WatchTarget, parameters: SteadyOptions, left: TimedReading | null) {
    this.#target = target;
    this.#window_s = parameters.window_s;
    this.#contact = new ContactTracker(parameters);
    this.#proof = new ZeroProof(target.quantity, parameters.window_s);
    this.#left = new LeftOver(left);
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
    if (this.#left.isStill(reading)) return this.#update(this.#leftPrompt(reading), null);
    const outcome = this.#held(reading) ?? this.#nothing(reading);
    return this.#update(outcome === null ? this.#proof.prompt : null, outcome);
  }

  #update(prompt: Prompt | null, outcome: Outcome | null): WatchUpdate {
    const { state, band } = this.#contact;
    const contact = outcome !== null ? "held" : state === "held" ? "settling" : state;
    return { contact, band, prompt, outcome };
  }

  /** The probes have not moved since the step before, and long enough for a hand to have done it. */
  #leftPrompt({ time_s }: TimedReading): Prompt | null {
    const waited_s = time_s - (this.#start_s ?? time_s);
    return waited_s > LEFT_PATIENCE_S ? { kind: "reseat" } : null;
  }

  #held(reading: TimedReading): Outcome | null {
    const { rest } = this.#contact;
    if (rest === null || !this.#proof.acceptsValue) {
      if (this.#target.zero !== "accept") this.#proof.push(reading.time_s, this.#contact);
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
    const proving = this.#target.zero !== "accept";
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
