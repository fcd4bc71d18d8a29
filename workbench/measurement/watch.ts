import type { Coupling, Quantity, TimedReading, Unit } from "../../protocols/reading.js";

/** Where the probes are, as far as the stream tells. */
export type ContactState = "lifted" | "touching" | "settling" | "held";

/** What the watch asks of the person, in the order a technician would hear it. */
export type Prompt =
  /** The dial is on another function than the step wants. */
  | { readonly kind: "turn-dial"; readonly to: DialPosition; readonly from: DialPosition }
  /** The meter's own HOLD, REL or battery sign makes its number untrustworthy. */
  | {
      readonly kind: "clear-flag";
      readonly flag: "hold" | "relative" | "low-battery" | "min" | "max";
    }
  /** Proving a zero (or an open circuit): lift and touch the same points again. */
  | { readonly kind: "reseat" }
  /** Proving a zero: show the meter a source that is known to be live. */
  | { readonly kind: "show-known-source" }
  /** Proving an open: touch the probes together. */
  | { readonly kind: "touch-together" }
  /** Proving: back to the points of the step. */
  | { readonly kind: "return" }
  /** Work the trigger, hold it, let go: for `sag` and `change`. */
  | { readonly kind: "squeeze" }
  | { readonly kind: "release" }
  | { readonly kind: "turn-shaft" };

export interface DialPosition {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
}

/** The settling band: spread of the last moments, against the meter's own counts. */
export interface Band {
  readonly low: number;
  readonly high: number;
  /** (high − low) / resolution, 0 when nothing moves. */
  readonly counts: number;
  /** How much of the step's window is filled with steady readings, 0 to 1. */
  readonly filled: number;
}

/** What a step is waiting for, fixed when the step starts. */
export interface WatchTarget {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  /** `either`: reversed probes are accepted, said and made positive. */
  readonly polarity: "as-marked" | "either";
  /** `prove`: zero or open counts only when proved; `accept`: it counts at once. */
  readonly zero: "prove" | "accept" | "note";
}

/** What a watch found. All values in `unit`. */
export interface Outcome {
  /** null when the meter shows overload (open circuit on ohms). */
  readonly value: number | null;
  readonly unit: Unit;
  readonly resolution: number | null;
  readonly overload: TimedReading["overload"];
  readonly polarity: "as-marked" | "reversed";
  readonly zero: null | "proved" | "accepted";
  /** Standard deviation of the held readings and how many there were (GUM type A). */
  readonly spread: number;
  readonly samples: number;
  readonly started_s: number;
  readonly ended_s: number;
  /** What the watch itself found wrong, in words: fails the step whatever its value. */
  readonly finding?: string;
  /** Named figures beside the value: a sag's floor, plateau, recovery… value, unit, why not. */
  readonly details: Readonly<Record<string, Detail>>;
}

export interface Detail {
  readonly value: number | null;
  readonly unit: string;
  /** Standard uncertainty, where it is known. */
  readonly u?: number;
  /** Why there is no value, or what limits it. */
  readonly note?: string;
}

/** Flat by design: the window draws it as it is. */
export interface WatchUpdate {
  readonly contact: ContactState;
  readonly band: Band | null;
  readonly prompt: Prompt | null;
  readonly outcome: Outcome | null;
}

/**
 * Recognises the reading of one step in the stream. Deterministic: time comes from the readings
 * alone. After an outcome it is finished and not fed again.
 */
export interface Watch {
  push(reading: TimedReading): WatchUpdate;
}

/**
 * Makes a watch. `left` is the last reading held by the step before, so that a probe that has
 * not moved yet is not taken for this step's reading; null at the start of a plan.
 */
export type WatchFactory<P> = (
  target: WatchTarget,
  parameters: P,
  left: TimedReading | null,
) => Watch;
