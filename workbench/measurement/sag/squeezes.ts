import { meanOf, meanVoltage } from "./trace.js";
import type { Prepared } from "./trace.js";

/** One squeeze as index ranges of the trace; `to` is the first reading after. */
export interface Squeeze {
  /** Unloaded readings before the edge. */
  readonly open: { readonly from: number; readonly to: number };
  readonly loaded: { readonly from: number; readonly to: number };
  /** Unloaded readings after the release; empty where the trace ends under load. */
  readonly after: { readonly from: number; readonly to: number };
  /** Whether the release was seen. */
  readonly released: boolean;
}

/** A drop below this share of the baseline is a squeeze, and never less than five times the noise. */
export const DEFAULT_EDGE = 0.02;

export function findSqueezes(trace: Prepared, edge: number): Squeeze[] {
  const bounds = trace.i === null ? byVoltage(trace, edge) : byCurrent(trace, trace.i);
  return bounds.map((bound, k) => {
    const before = bounds[k - 1]?.to ?? 0;
    const next = bounds[k + 1]?.from ?? trace.n;
    const released = bound.to < trace.n;
    return {
      open: { from: before, to: bound.from },
      loaded: bound,
      after: { from: bound.to, to: released ? next : bound.to },
      released,
    };
  });
}

/** Below this share of what follows, a trace begins with lifted probes, not under load. */
const LIFTED = 0.2;

interface Range {
  from: number;
  to: number;
}

/** Where current flows: above a tenth of its largest, and above its noise. */
function byCurrent({ n, noise_A }: Prepared, i: Float64Array): Range[] {
  const rest = Math.min(...quietest(i));
  const most = i.reduce((a, b) => Math.max(a, b), 0);
  if (most - rest < Math.max(10 * noise_A, 1e-6)) return [];
  const threshold = rest + Math.max(0.08 * (most - rest), 5 * noise_A);
  const ranges: Range[] = [];
  for (let k = 0; k < n; k++) {
    if ((i[k] as number) <= threshold) continue;
    const last = ranges.at(-1);
    if (last !== undefined && last.to === k) last.to = k + 1;
    else ranges.push({ from: k, to: k + 1 });
  }
  return ranges;
}

/** The current at no load: the lower of the two ends, each averaged over a few readings. */
function quietest(i: Float64Array): [number, number] {
  const few = Math.max(1, Math.min(5, i.length >> 3));
  return [meanOf(i, 0, few), meanOf(i, i.length - few, i.length)];
}

function byVoltage(trace: Prepared, edge: number): Range[] {
  const ranges: Range[] = [];
  let open = 0;
  for (let k = 1; k < trace.n; k++) {
    const base = openLevel(trace, open, k);
    const drop = dropFor(trace, base, edge);
    if (ranges.length === 0 && rises(trace, k, base + drop)) {
      // It began under load; or, from next to nothing, with the probes in the air.
      if (base > LIFTED * (trace.v[k] as number)) ranges.push({ from: 0, to: k });
      open = k;
      continue;
    }
    if (!falls(trace, k, base - drop)) continue;
    const to = releaseAfter(trace, k, base, drop);
    ranges.push({ from: k, to });
    if (to >= trace.n) break;
    open = to;
    k = to;
  }
  return ranges;
}

function dropFor({ noise_V, resolution_V }: Prepared, base: number, edge: number): number {
  return Math.max(edge * Math.abs(base), 5 * noise_V, 2 * resolution_V);
}

/** Mean of the open readings of the last two seconds but not the last twentieth of one. */
function openLevel(trace: Prepared, open: number, k: number): number {
  const now = trace.t[k] as number;
  const to = firstAfter(trace.t, now - 0.05, open + 1, k);
  const from = firstAfter(trace.t, now - 2, open, to - 1);
  return meanVoltage(trace, from, to);
}

/** The first index from `low` on whose time is later; `high` where none before it is. */
function firstAfter(t: Float64Array, time_s: number, low: number, high: number): number {
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((t[middle] as number) > time_s) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** A fall that the next reading confirms; a slow meter is believed at once. */
function falls({ v, n, interval_s }: Prepared, k: number, level: number): boolean {
  if ((v[k] as number) >= level) return false;
  return interval_s > 0.1 || k + 1 >= n || (v[k + 1] as number) < level;
}

/** A rise above a level before anything fell, confirmed by the next reading. */
function rises({ v, n }: Prepared, k: number, level: number): boolean {
  return (v[k] as number) > level && k + 1 < n && (v[k + 1] as number) > level;
}

/**
 * The release: the last sharp rise before the voltage falls again. The rise out of the inrush
 * floor is slower than a contact that opens, and ends well below the baseline.
 */
function releaseAfter(trace: Prepared, from: number, base: number, drop: number): number {
  const { v, n } = trace;
  const step = stepOf(trace);
  const least = Math.max(drop / 2, 6 * trace.noise_V * Math.sqrt(2 / step));
  let lowest = v[from] as number;
  let release = n;
  for (let k = from + 1; k < n; k++) {
    const value = v[k] as number;
    if (release < n && isNextFall(trace, release, k, drop)) return release;
    if (release === n) lowest = Math.min(lowest, value);
    const rise = riseAt(trace, k, step);
    if (rise < least || !isPeak(trace, k, step, rise)) continue;
    if (isRelease(trace, k, step, rise, { base, drop, lowest })) release = k;
  }
  return release;
}

/** How many readings make a level on either side of an edge: about 20 ms. */
function stepOf({ interval_s }: Prepared): number {
  return interval_s > 0 ? Math.max(1, Math.round(0.02 / interval_s)) : 1;
}

function riseAt(trace: Prepared, k: number, step: number): number {
  const to = Math.min(trace.n, k + step);
  return meanVoltage(trace, k, to) - meanVoltage(trace, Math.max(0, k - step), k);
}

function isPeak(trace: Prepared, k: number, step: number, rise: number): boolean {
  for (let near = Math.max(1, k - step); near <= Math.min(trace.n - 1, k + step); near++) {
    if (near !== k && riseAt(trace, near, step) > rise) return false;
  }
  return true;
}

interface Levels {
  readonly base: number;
  readonly drop: number;
  readonly lowest: number;
}

function isRelease(
  trace: Prepared,
  k: number,
  step: number,
  rise: number,
  { base, drop, lowest }: Levels,
): boolean {
  const { n, interval_s } = trace;
  const after = meanVoltage(trace, k, Math.min(n, k + step));
  if (after > base - drop / 2) return true;
  if (after < base - Math.max(drop, 0.5 * (base - lowest))) return false;
  const wide = interval_s > 0 ? Math.max(step, Math.round(0.15 / interval_s)) : step;
  return rise >= 0.5 * riseAt(trace, k, wide);
}

/** After a release, a fall from the level since then: the next squeeze. */
function isNextFall(trace: Prepared, release: number, k: number, drop: number): boolean {
  if (k <= release + 1) return false;
  return falls(trace, k, openLevel(trace, release, k) - drop);
}
