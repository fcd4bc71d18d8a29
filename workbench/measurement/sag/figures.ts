import type { Detail } from "../watch.js";
import { lineFit } from "../fit/linear.js";
import { meanOf } from "./trace.js";
import type { Prepared } from "./trace.js";
import type { Squeeze } from "./squeezes.js";

/** Below this the pack gives nothing any more: its protection opened, or a probe lost contact. */
const COLLAPSED = 0.2;
/** Longest time between readings at which the inrush floor, some 100 ms long, can be seen. */
export const FLOOR_INTERVAL_S = 0.04;
/** Beyond this the floor is not even bounded usefully. */
const FLOOR_LOST_S = 0.15;

export type SqueezeKind =
  /** The motor ran up: the voltage rose from its floor to a plateau. */
  | "ran-up"
  /** It never rose from its floor: stalled, or a load without inrush. */
  | "stayed-down"
  /** It collapsed under load: protection, or a lost probe. */
  | "collapsed"
  /** Too few or too slow readings to tell. */
  | "unclear";

export interface Level {
  readonly value: number;
  readonly u: number;
  readonly n: number;
  /** Change with time over the stretch, unit/s, and its standard uncertainty. */
  readonly slope: number;
  readonly uSlope: number;
}

/** The level of a stretch of readings of the voltage: a line through them, told at its middle. */
export function levelOf(trace: Prepared, from: number, to: number): Level | null {
  return lineLevel(trace.t, trace.v, { from, to }, trace.noise_V, trace.rounding_V);
}

/** The same of the current; null also where there is none. */
export function currentOf(trace: Prepared, from: number, to: number): Level | null {
  if (trace.i === null) return null;
  return lineLevel(trace.t, trace.i, { from, to }, trace.noise_A, trace.rounding_A);
}

function lineLevel(
  t: Float64Array,
  y: Float64Array,
  { from, to }: Squeeze["loaded"],
  noise: number,
  rounding: number,
): Level | null {
  const n = to - from;
  if (n < 1) return null;
  const value = meanOf(y, from, to);
  const floor = Math.hypot(noise / Math.sqrt(n), rounding);
  const middle = meanOf(t, from, to);
  const x = Float64Array.from({ length: n }, (_, k) => (t[from + k] as number) - middle);
  const line = n > 2 ? lineFit(x, y.subarray(from, to)) : null;
  if (line === null) return { value, u: Math.max(floor, noise), n, slope: 0, uSlope: Infinity };
  const u = Math.hypot(line.uIntercept, rounding);
  return { value, u: Math.max(u, floor), n, slope: line.slope, uSlope: line.uSlope };
}

/** The unloaded level just before the edge: the last half second, the last reading left out. */
export function baselineOf(trace: Prepared, { open }: Squeeze): Level | null {
  const last = open.to - open.from > 2 ? open.to - 1 : open.to;
  if (last <= open.from) return null;
  const end = trace.t[last - 1] as number;
  let from = last - 1;
  while (from > open.from && end - (trace.t[from - 1] as number) <= 0.5) from--;
  return levelOf(trace, Math.min(from, Math.max(open.from, last - 3)), last);
}

/** The loaded stretch without what collapsed; where a current was recorded it is loaded throughout. */
export function sustained(trace: Prepared, squeeze: Squeeze, baseline: number): Squeeze["loaded"] {
  const { from, to } = squeeze.loaded;
  if (trace.i !== null) return { from, to };
  for (let k = from; k < to; k++) {
    if ((trace.v[k] as number) < COLLAPSED * baseline) return { from, to: k };
  }
  return { from, to };
}

/** The later half of the loaded stretch, its last reading left out: the motor has run up by then. */
export function plateauRange(trace: Prepared, loaded: Squeeze["loaded"]): Squeeze["loaded"] {
  const to = loaded.to - loaded.from > 3 ? loaded.to - 1 : loaded.to;
  const begin = trace.t[loaded.from] as number;
  const half = begin + ((trace.t[to - 1] as number) - begin) / 2;
  let from = loaded.from;
  while (from < to - 1 && (trace.t[from] as number) < half) from++;
  return { from, to };
}

export interface Floor {
  readonly at: number;
  readonly detail: Detail;
}

/** The lowest reading under load, or why it cannot be known. */
export function floorOf(trace: Prepared, loaded: Squeeze["loaded"]): Floor {
  let at = loaded.from;
  for (let k = loaded.from; k < loaded.to; k++) {
    if ((trace.v[k] as number) < (trace.v[at] as number)) at = k;
  }
  const value = trace.v[at] as number;
  const rate = trace.interval_s > 0 ? (1 / trace.interval_s).toPrecision(2) : "?";
  if (trace.interval_s > FLOOR_LOST_S) {
    const lowest = `the lowest read was ${value} V`;
    const note = `too slow to see the floor: at ${rate} readings a second it falls between them; ${lowest}`;
    return { at, detail: { value: null, unit: "V", note } };
  }
  const neighbours = [trace.v[at - 1], trace.v[at + 1]].filter((x) => x !== undefined);
  const gap = Math.max(0, Math.min(...neighbours) - value);
  if (trace.interval_s > FLOOR_INTERVAL_S) {
    const u = Math.hypot(trace.noise_V, gap / 2);
    const note = `at ${rate} readings a second the true floor may lie lower, between readings`;
    return { at, detail: { value, unit: "V", u, note } };
  }
  return { at, detail: { value, unit: "V", u: trace.noise_V } };
}

/** What the shape of the loaded stretch says. */
export function kindOf(
  trace: Prepared,
  squeeze: Squeeze,
  baseline: number,
  plateau: number | null,
): SqueezeKind {
  const loaded = sustained(trace, squeeze, baseline);
  if (loaded.to < squeeze.loaded.to || gaveWay(trace, squeeze, baseline)) return "collapsed";
  const held_s = (trace.t[loaded.to - 1] as number) - (trace.t[loaded.from] as number);
  if (plateau === null || trace.interval_s > FLOOR_INTERVAL_S || held_s < 0.3) return "unclear";
  return baseline - plateau >= 0.85 * (baseline - smoothedLowest(trace, loaded))
    ? "stayed-down"
    : "ran-up";
}

/** The current stopped and the voltage with it. */
function gaveWay({ v, i }: Prepared, { after }: Squeeze, baseline: number): boolean {
  const first = Math.min(after.from + 1, after.to - 1);
  return i !== null && after.to > after.from && (v[first] as number) < COLLAPSED * baseline;
}

/** Lowest of the means of three neighbours: one noisy reading makes no floor. */
function smoothedLowest({ v }: Prepared, { from, to }: Squeeze["loaded"]): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let k = from; k + 3 <= to; k++) lowest = Math.min(lowest, meanOf(v, k, k + 3));
  return lowest;
}
