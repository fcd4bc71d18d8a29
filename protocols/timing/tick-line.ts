/** The reading with number `index` had arrived by `at_s`. */
export interface Arrival {
  readonly index: number;
  readonly at_s: number;
}

/** When readings were sampled: `offset_s + index × interval_s`. */
export interface TickLine {
  readonly interval_s: number;
  readonly offset_s: number;
}

/** Half of the points leave at each turn, so that this many turns keep one in four. */
const TURNS = 2;
const FEWEST = 8;

/**
 * The even tick under arrivals that are late by differing amounts and never early. The slope is a
 * least-squares fit that is made again, twice, on the earlier half of its points (a trimmed fit:
 * one late arrival, however late, changes nothing); the line is then lowered to the earliest
 * arrival, because nothing arrives before it was sampled. Null where two points are not there.
 */
export function fitTick(arrivals: readonly Arrival[]): TickLine | null {
  let interval_s = slopeOf(arrivals);
  let kept = arrivals;
  for (let turn = 0; turn < TURNS && kept.length >= FEWEST && interval_s !== null; turn += 1) {
    kept = earlierHalf(kept, interval_s);
    interval_s = slopeOf(kept) ?? interval_s;
  }
  return interval_s === null ? null : lowered(arrivals, interval_s);
}

/** The line of this slope that the earliest arrival lies on. */
export function lowered(arrivals: readonly Arrival[], interval_s: number): TickLine {
  let offset_s = Infinity;
  for (const { index, at_s } of arrivals) {
    offset_s = Math.min(offset_s, at_s - index * interval_s);
  }
  return { interval_s, offset_s };
}

export function timeOn(line: TickLine, index: number): number {
  return line.offset_s + index * line.interval_s;
}

function earlierHalf(arrivals: readonly Arrival[], slope: number): readonly Arrival[] {
  const lateness = Float64Array.from(arrivals, ({ index, at_s }) => at_s - index * slope);
  const middle = Float64Array.from(lateness).sort()[Math.floor(lateness.length / 2)] ?? 0;
  return arrivals.filter((_, n) => (lateness[n] ?? 0) <= middle);
}

function slopeOf(arrivals: readonly Arrival[]): number | null {
  const count = arrivals.length;
  let [index0, at0] = [0, 0];
  for (const { index, at_s } of arrivals) {
    index0 += index / count;
    at0 += at_s / count;
  }
  let [along, across] = [0, 0];
  for (const { index, at_s } of arrivals) {
    along += (index - index0) ** 2;
    across += (index - index0) * (at_s - at0);
  }
  return along > 0 ? across / along : null;
}
