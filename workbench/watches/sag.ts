import type { TimedReading } from "../../protocols/reading.js";
import { ContactTracker, countOf } from "../measurement/contact.js";
import { meterTrouble } from "../measurement/dial.js";
import { ZeroProof } from "../measurement/proof.js";
import { analyseSag, FEWEST_READINGS } from "../measurement/sag/analyse.js";
import { SagRecorder } from "../measurement/sag/recorder.js";
import type {
  Detail,
  Outcome,
  Prompt,
  Watch,
  WatchFactory,
  WatchTarget,
  WatchUpdate,
} from "../measurement/watch.js";

export interface SagParameters {
  /** A drop below this share of the baseline is a squeeze. */
  readonly edge: number;
  /** How long the trigger is to be held, seconds. */
  readonly hold_s: number;
}

/** What counts as a steady baseline. */
const BASELINE = { window_s: 0.8, counts: 6 };
/**
 * A trigger released so soon after the edge is not told from the motor running up: seconds, and
 * readings, of which a slow meter gives two to a start.
 */
const RUN_UP = { least_s: 0.3, readings: 2.5 };
/** After so many falls straight to nothing the pack, not the hand, is believed. */
const COLLAPSES = 2;

type Phase = "baseline" | "waiting" | "loaded" | "recovering";

/**
 * Captures the sag while the trigger is squeezed. The value is the loaded plateau; baseline,
 * floor, recovery, times, and with an ammeter on another channel the internal resistance, are its
 * details. The reading left from the step before does not matter: the squeeze is what is new.
 */
export const sagWatch: WatchFactory<SagParameters> = (target, parameters) =>
  new SagWatch(target, parameters);

class SagWatch implements Watch {
  readonly #target: WatchTarget;
  readonly #parameters: SagParameters;
  readonly #contact = new ContactTracker(BASELINE);
  readonly #proof: ZeroProof;
  readonly #recorder = new SagRecorder();
  #channel: string | null = null;
  #phase: Phase = "baseline";
  #baseline = 0;
  /** Mean level under load, weighted to the latest readings. */
  #level = 0;
  #edge_s = 0;
  #release_s = 0;
  #last_s = 0;
  #collapses = 0;
  #loadedReadings = 0;

  constructor(target: WatchTarget, parameters: SagParameters) {
    this.#target = target;
    this.#parameters = parameters;
    this.#proof = new ZeroProof(target.quantity, BASELINE.window_s);
  }

  push(reading: TimedReading): WatchUpdate {
    if (this.#isOther(reading)) {
      if (reading.quantity === "current") this.#recorder.current(reading);
      return this.#update(null, null);
    }
    const trouble = meterTrouble(this.#target, reading);
    if (trouble !== null) {
      this.#restart();
      return this.#update(trouble, null);
    }
    this.#recorder.voltage(reading);
    const outcome = this.#advance(reading);
    this.#last_s = reading.time_s;
    return this.#update(this.#prompt(reading.time_s), outcome);
  }

  /** A second meter: any channel but the one that shows what the step wants. */
  #isOther(reading: TimedReading): boolean {
    if (reading.quantity === this.#target.quantity) this.#channel ??= reading.channel;
    return this.#channel === null
      ? reading.quantity === "current" && reading.channel !== "a"
      : reading.channel !== this.#channel;
  }

  #restart(): void {
    this.#contact.lose();
    this.#proof.interrupt();
    this.#recorder.clear();
    this.#phase = "baseline";
  }

  #update(prompt: Prompt | null, outcome: Outcome | null): WatchUpdate {
    const { state, band } = this.#contact;
    const contact = this.#phase === "baseline" && state === "held" ? "settling" : state;
    return { contact: outcome === null ? contact : "held", band, prompt, outcome };
  }

  #prompt(now_s: number): Prompt | null {
    if (this.#phase === "baseline") return this.#proof.prompt;
    if (this.#phase === "waiting") return { kind: "squeeze" };
    const held = now_s - this.#edge_s >= this.#parameters.hold_s;
    return this.#phase === "loaded" && held ? { kind: "release" } : null;
  }

  #advance(reading: TimedReading): Outcome | null {
    const size = Math.abs(reading.value ?? 0);
    switch (this.#phase) {
      case "baseline":
        return this.#seekBaseline(reading);
      case "waiting":
        this.#contact.push(reading);
        this.#seekEdge(reading, size);
        return null;
      case "loaded":
        return this.#seekRelease(reading, size);
      case "recovering":
        return this.#seekEnd(reading);
    }
  }

  #seekBaseline(reading: TimedReading): Outcome | null {
    this.#contact.push(reading);
    const { rest, touch } = this.#contact;
    if (touch !== "value") this.#recorder.clear();
    if (rest !== null && this.#proof.acceptsValue) {
      this.#baseline = Math.abs(rest.mean);
      this.#recorder.since(rest.since_s);
      this.#phase = "waiting";
      return null;
    }
    if (this.#target.zero !== "accept") this.#proof.push(reading.time_s, this.#contact);
    return this.#proof.proved ? this.#nothing(reading) : null;
  }

  /** No voltage at all, proved: there is nothing to sag. */
  #nothing(reading: TimedReading): Outcome {
    const note = "no voltage to sag: zero was proved";
    const figure: Detail = { value: null, unit: "V", note };
    return {
      ...this.#outcome(reading),
      value: reading.value,
      zero: "proved",
      details: { baseline: { value: 0, unit: "V" }, floor: figure, plateau: figure },
    };
  }

  #seekEdge(reading: TimedReading, size: number): void {
    const { rest, touch } = this.#contact;
    if (rest !== null) this.#baseline = Math.abs(rest.mean);
    this.#recorder.forget(reading.time_s);
    const least = Math.max(this.#parameters.edge * this.#baseline, 3 * countOf(reading));
    if (size > this.#baseline - least) return;
    if (touch === "none") {
      this.#fallToNothing();
      return;
    }
    this.#phase = "loaded";
    this.#edge_s = reading.time_s;
    this.#level = size;
    this.#loadedReadings = 0;
  }

  /** Straight to nothing: a lifted probe, or a pack that trips faster than the meter reads. */
  #fallToNothing(): void {
    this.#collapses += 1;
    if (this.#collapses >= COLLAPSES) {
      this.#phase = "loaded";
      this.#edge_s = this.#last_s;
      this.#level = 0;
      return;
    }
    this.#recorder.clear();
    this.#phase = "baseline";
  }

  #seekRelease(reading: TimedReading, size: number): Outcome | null {
    const loaded_s = reading.time_s - this.#edge_s;
    const drop = this.#baseline - this.#level;
    const back = size > this.#baseline - (this.#parameters.edge * this.#baseline) / 2;
    const step_s = reading.time_s - this.#last_s;
    const runUp_s = Math.max(RUN_UP.least_s, RUN_UP.readings * step_s);
    const rose = loaded_s > runUp_s && size > this.#level + drop / 2;
    if (this.#loadedReadings > 0 && (back || rose)) {
      this.#phase = "recovering";
      this.#release_s = reading.time_s;
      return null;
    }
    const weight = Math.min(1, Math.max(step_s / 0.2, 0.02));
    this.#level += weight * (size - this.#level);
    this.#loadedReadings += 1;
    // A pack that stays off after its protection opened never comes back by itself.
    const gaveUp = loaded_s > this.#parameters.hold_s + 10 && this.#level < 0.2 * this.#baseline;
    return gaveUp ? this.#finish(reading) : null;
  }

  #seekEnd(reading: TimedReading): Outcome | null {
    const wait_s = Math.max(1.5, this.#parameters.hold_s);
    const lifted = Math.abs(reading.value ?? 0) < 0.2 * this.#baseline;
    if (!lifted && reading.time_s - this.#release_s < wait_s) return null;
    if (lifted) this.#recorder.dropLast();
    return this.#finish(reading);
  }

  #finish(reading: TimedReading): Outcome | null {
    if (this.#recorder.readings < FEWEST_READINGS) {
      this.#restart();
      return null;
    }
    const report = analyseSag(this.#recorder.trace(), { edge: this.#parameters.edge });
    const plateau = report.figures["plateau"];
    const samples = Math.max(1, report.squeezes[report.chosen ?? 0]?.plateauReadings ?? 1);
    return {
      ...this.#outcome(reading),
      value: plateau?.value ?? null,
      polarity:
        report.polarity === "reversed" && this.#target.polarity === "either"
          ? "reversed"
          : "as-marked",
      spread: (plateau?.u ?? 0) * Math.sqrt(samples),
      samples,
      details: report.figures,
    };
  }

  #outcome(reading: TimedReading): Outcome {
    return {
      value: null,
      unit: reading.unit,
      resolution: reading.resolution,
      overload: false,
      polarity: "as-marked",
      zero: null,
      spread: 0,
      samples: 1,
      started_s: this.#edge_s,
      ended_s: reading.time_s,
      details: {},
    };
  }
}
