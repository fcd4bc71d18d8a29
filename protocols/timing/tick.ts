import { fitTick, lowered, timeOn } from "./tick-line.js";
import type { Arrival, TickLine } from "./tick-line.js";

/** Arrivals that the fit looks back on. */
const WINDOW = 512;
/** Fewer arrivals than this say nothing about a tick. */
const FEWEST = 4;
/** A new stretch of the same tick needs this many arrivals before its own slope is better. */
const ENOUGH = 16;
/** Lateness that a computer causes now and then, s: no reason to doubt the tick. */
const USUAL_LATE_S = 0.03;

export interface TickStats {
  /** The meter's tick, s; null while none is known or where it does not tick evenly. */
  readonly interval_s: number | null;
  /** Root mean square of arrival minus estimated sampling time, s, over all readings. */
  readonly residual_s: number;
  readonly readings: number;
}

/**
 * Estimates when readings were sampled. Meters tick evenly, arrivals do not: they are late by what
 * the cable, the operating system and this program took. From (arrival, number of readings) alone,
 * in order, so that a replay of the raw log gives the same times to the last bit; causal, so that a
 * reading keeps the time it was given. Where no even tick is found, the arrival is the estimate.
 * Times are strictly increasing and never after the arrival.
 */
export class Tick {
  readonly #usual_s: number;
  #arrivals: Arrival[] = [];
  #line: TickLine | null = null;
  #even = false;
  /** Slope of the stretch before, until this one has its own. */
  #known_s: number | null = null;
  #next = 0;
  #sinceFit = 0;
  #last_s = -Infinity;
  #squares = 0;
  #count = 0;

  /** `usual_s`: the protocol's own interval, for readings that come together before a fit. */
  constructor(usual_s: number) {
    this.#usual_s = usual_s;
  }

  get stats(): TickStats {
    return {
      interval_s: this.#even && this.#line !== null ? this.#line.interval_s : null,
      residual_s: this.#count === 0 ? 0 : Math.sqrt(this.#squares / this.#count),
      readings: this.#count,
    };
  }

  /** The meter was connected anew at `opened_s`: the same tick, from another moment on. */
  reopen(opened_s: number): void {
    this.#restart();
    this.#last_s = Math.max(this.#last_s, opened_s);
  }

  #restart(): void {
    if (this.#even && this.#line !== null) this.#known_s = this.#line.interval_s;
    this.#arrivals = [];
    this.#line = null;
    this.#even = false;
  }

  /** `count` readings arrived together at `arrival_s`: when was each sampled? */
  push(arrival_s: number, count: number): number[] {
    if (count === 0) return [];
    this.#followGaps(arrival_s, count);
    const first = this.#next;
    this.#next += count;
    this.#add({ index: this.#next - 1, at_s: arrival_s });
    const times = this.#timesFrom(first, count, arrival_s);
    for (const time_s of times) this.#squares += (arrival_s - time_s) ** 2;
    this.#count += count;
    return times;
  }

  /** Numbers readings that never came, and starts anew where the tick itself broke. */
  #followGaps(arrival_s: number, count: number): void {
    const line = this.#line;
    if (line === null || !this.#even) return;
    const late_s = arrival_s - timeOn(line, this.#next + count - 1);
    const tick_s = line.interval_s;
    const missed = Math.round(late_s / tick_s);
    if (late_s < -Math.max(0.3 * tick_s, USUAL_LATE_S)) {
      this.#restart();
      this.#known_s = null;
    } else if (late_s > Math.max(0.5 * tick_s, 0.1)) {
      const rest_s = Math.abs(late_s - missed * tick_s);
      const sure = tick_s > 2 * USUAL_LATE_S && rest_s < Math.max(0.15 * tick_s, USUAL_LATE_S);
      if (sure) this.#next += missed;
      else this.#restart();
    }
  }

  #add(arrival: Arrival): void {
    this.#arrivals.push(arrival);
    if (this.#arrivals.length > WINDOW) this.#arrivals.shift();
    this.#sinceFit += 1;
    const line = this.#line;
    if (line !== null && this.#sinceFit < this.#arrivals.length / ENOUGH) {
      // The slope stands for a while; an arrival that is earlier than the line lowers it at once.
      const offset_s = Math.min(line.offset_s, arrival.at_s - arrival.index * line.interval_s);
      this.#line = { ...line, offset_s };
      return;
    }
    this.#sinceFit = 0;
    this.#line = this.#fit();
    this.#even = this.#line !== null && isEven(this.#arrivals, this.#line);
  }

  #fit(): TickLine | null {
    const known = this.#known_s;
    if (known !== null && this.#arrivals.length < ENOUGH) {
      const line = lowered(this.#arrivals, known);
      if ((lateness(this.#arrivals, line).at(-1) ?? 0) < 2 * USUAL_LATE_S) return line;
      this.#known_s = null;
    }
    const line = this.#arrivals.length < FEWEST ? null : fitTick(this.#arrivals);
    return line !== null && line.interval_s > 0 ? line : null;
  }

  #timesFrom(first: number, count: number, arrival_s: number): number[] {
    const line = this.#even ? this.#line : null;
    const usual_s = this.#known_s ?? this.#usual_s;
    const step_s = line?.interval_s ?? Math.min(usual_s, (arrival_s - this.#last_s) / count);
    return Array.from({ length: count }, (_, n) => {
      const left = count - n;
      const wanted = line === null ? arrival_s - (left - 1) * step_s : timeOn(line, first + n);
      // Between the reading before and the arrival, with room for those that follow.
      const room_s = Math.max(0, arrival_s - this.#last_s) / (left + 1);
      const soonest = this.#last_s + Math.min(room_s, 0.1 * step_s);
      this.#last_s = after(this.#last_s, Math.max(soonest, Math.min(wanted, arrival_s)));
      return this.#last_s;
    });
  }
}

/** The median arrival is not later than a busy computer, or a good part of a tick, explains. */
function isEven(arrivals: readonly Arrival[], line: TickLine): boolean {
  const sorted = lateness(arrivals, line);
  const middle = sorted[Math.floor(sorted.length / 2)] ?? 0;
  return middle < Math.max(0.3 * line.interval_s, USUAL_LATE_S);
}

/** In rising order, s. */
function lateness(arrivals: readonly Arrival[], line: TickLine): Float64Array {
  return Float64Array.from(arrivals, ({ index, at_s }) => at_s - timeOn(line, index)).sort();
}

/** Strictly later, by what a double can tell at this size and a nanosecond at least. */
function after(last_s: number, time_s: number): number {
  return time_s > last_s ? time_s : last_s + 1e-9;
}
