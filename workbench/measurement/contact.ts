import type { Quantity, TimedReading } from "../../protocols/reading.js";
import { SteadyTracker } from "./steady.js";
import type { Rest, SteadyOptions } from "./steady.js";
import type { Band, ContactState } from "./watch.js";

/**
 * What the probes may be on, from one reading. `none` is what open probes show and what a dead
 * circuit shows alike: about zero on volts and amperes, overload on ohms.
 */
export type Touch = "none" | "over" | "value";

/** Volts below this are no sign of a source: open probes pick up as much. */
const LIVE_V = 0.05;

export function touchOf(reading: TimedReading, count = countOf(reading)): Touch {
  if (reading.overload !== false || reading.value === null) {
    return opensOver(reading.quantity) ? "none" : "over";
  }
  if (!needsSource(reading.quantity)) return "value";
  const floor = 5 * count;
  const least = reading.quantity === "voltage" ? Math.max(floor, LIVE_V) : floor;
  return Math.abs(reading.value) <= least ? "none" : "value";
}

/** Functions that show overload when the circuit is open. */
function opensOver(quantity: Quantity): boolean {
  return quantity === "resistance" || quantity === "continuity" || quantity === "diode";
}

/** Functions that show about zero when nothing is connected. */
function needsSource(quantity: Quantity): boolean {
  return quantity === "voltage" || quantity === "current" || quantity === "power";
}

/**
 * The value of one count. A wire that does not tell it (exponent notation) is taken to show six
 * digits of the value, and no less than a millionth of the unit.
 */
export function countOf({ resolution, value }: TimedReading): number {
  if (resolution !== null && resolution > 0) return resolution;
  const size = Math.max(Math.abs(value ?? 0), 1e-6);
  return Math.max(1e-6, 10 ** (Math.floor(Math.log10(size)) - 5));
}

/** Follows where the probes are from the stream alone. */
export class ContactTracker {
  state: ContactState = "lifted";
  band: Band | null = null;
  touch: Touch = "none";
  /** The window at rest, in the unit of the readings, while `state` is held. */
  rest: Rest | null = null;
  /** Since when nothing but `none` was read; null while something was. */
  noneSince_s: number | null = null;

  readonly #steady: SteadyTracker;

  constructor(options: SteadyOptions) {
    this.#steady = new SteadyTracker(options);
  }

  /** The meter shows something that says nothing about the probes. */
  lose(): void {
    this.#steady.reset();
    this.#set("lifted", "none");
    this.noneSince_s = null;
  }

  push(reading: TimedReading): void {
    const count = countOf(reading);
    const touch = touchOf(reading, count);
    if (touch !== "value" || reading.value === null) {
      this.#steady.reset();
      this.#set(touch === "none" ? "lifted" : "touching", touch);
      this.noneSince_s = touch === "none" ? (this.noneSince_s ?? reading.time_s) : null;
      return;
    }
    this.noneSince_s = null;
    const fresh = this.#steady.push(reading.time_s, reading.value, count);
    if (fresh) this.#update(count);
    else if (this.state === "lifted") this.#set("touching", touch);
    this.touch = touch;
  }

  #set(state: ContactState, touch: Touch): void {
    this.state = state;
    this.touch = touch;
    this.band = null;
    this.rest = null;
  }

  #update(count: number): void {
    const { low, high, filled, rest, allowed } = this.#steady;
    const before = this.state === "held" ? this.rest : null;
    this.rest = rest ?? (before !== null && this.#stays(before.mean) ? before : null);
    this.band = { low, high, counts: (high - low) / count, filled };
    const moving = high - low > 4 * allowed;
    this.state = this.rest !== null ? "held" : moving ? "touching" : "settling";
  }

  /** What was held stays held until it leaves twice the band that made it so. */
  #stays(mean: number): boolean {
    const { low, high, allowed } = this.#steady;
    return high - mean <= 2 * allowed && mean - low <= 2 * allowed;
  }
}
