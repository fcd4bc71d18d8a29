import type { TimedReading } from "../../protocols/reading.js";
import type { Detail, Outcome } from "../measurement/watch.js";

/** Two readings in a row within this many counts, or this share: the shaft stood still. */
const STILL_COUNTS = 3;
const STILL_SHARE = 0.1;
/** Fewer still readings than this and the median of all is told instead of the extremes. */
const FEWEST_STILL = 3;

/**
 * What a sweep has seen. A turning motor is a generator and disturbs ohms, so that extremes are
 * taken from readings between which the shaft stood still.
 */
export class SweepLog {
  readonly #all: number[] = [];
  readonly #still: number[] = [];
  #before: TimedReading | null = null;
  #finest = Number.POSITIVE_INFINITY;
  #openRun = 0;
  #openings = 0;

  push(reading: TimedReading, isOpen: boolean): void {
    if (isOpen) this.#pushOpen();
    else if (reading.value !== null) this.#pushValue(reading, reading.value);
  }

  /** Openings since the last time it was asked. */
  takeOpenings(): number {
    const openings = this.#openings;
    this.#openings = 0;
    return openings;
  }

  /** The opening that is running turned out to be lifted probes. */
  forgetOpening(): void {
    if (this.#openRun > 1) this.#openings -= 1;
    this.#openRun = 0;
    this.#before = null;
  }

  outcome(reading: TimedReading, started_s: number, isOpen: boolean): Outcome {
    const told = this.#still.length >= FEWEST_STILL ? this.#still : medianOnly(this.#all);
    const least = told.length === 0 ? null : Math.min(...told);
    const greatest = told.length === 0 ? null : Math.max(...told);
    return {
      value: isOpen ? null : greatest,
      unit: reading.unit,
      resolution: Number.isFinite(this.#finest) ? this.#finest : reading.resolution,
      overload: isOpen,
      polarity: "as-marked",
      zero: null,
      spread: 0,
      samples: Math.max(1, told.length),
      started_s,
      ended_s: reading.time_s,
      details: this.#details(reading.unit, least, isOpen ? null : greatest),
      ...(isOpen ? { finding: "open at some angles of the shaft" } : {}),
    };
  }

  #details(unit: string, least: number | null, greatest: number | null): Record<string, Detail> {
    const open: Detail = { value: null, unit, note: "open circuit" };
    const few = this.#still.length < FEWEST_STILL && this.#all.length > 0;
    const note = few ? { note: "median: the shaft hardly stood still" } : {};
    return {
      least: least === null ? open : { value: least, unit, ...note },
      greatest: greatest === null ? open : { value: greatest, unit, ...note },
      readings: { value: this.#all.length, unit: "" },
    };
  }

  #pushOpen(): void {
    this.#before = null;
    this.#openRun += 1;
    // One reading of over range may be the meter changing its range.
    if (this.#openRun === 2) this.#openings += 1;
  }

  #pushValue(reading: TimedReading, value: number): void {
    this.#openRun = 0;
    const count = reading.resolution ?? 0;
    // While the meter hunts for its range it shows coarse counts: they tell nothing.
    if (count > this.#finest * 1.01) return;
    if (count < this.#finest * 0.99) this.#restart(count);
    this.#all.push(value);
    const before = this.#before?.value ?? null;
    this.#before = reading;
    if (before === null) return;
    const margin = Math.max(STILL_COUNTS * count, STILL_SHARE * Math.abs(value));
    if (Math.abs(value - before) <= margin) this.#still.push(value);
  }

  #restart(count: number): void {
    this.#finest = count;
    this.#all.length = 0;
    this.#still.length = 0;
    this.#before = null;
  }
}

function medianOnly(values: readonly number[]): number[] {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted[Math.floor(sorted.length / 2)];
  return middle === undefined ? [] : [middle];
}
