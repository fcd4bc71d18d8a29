import type { Trace } from "../store/state.js";

export interface PlotPoint {
  readonly time_s: number;
  /** Least and greatest of the moments that this pixel stands for; null: no line. */
  readonly range: readonly [number, number] | null;
}

/**
 * At most `most` points: neighbours are merged into their least and greatest, so that no peak is
 * lost. A gap stays a gap: no line is ever drawn across it.
 */
export function plotPoints(trace: Trace, span_s: number, most: number): readonly PlotPoint[] {
  const end_s = trace.time_s.at(-1) ?? 0;
  const first = trace.time_s.findIndex((time_s) => time_s >= end_s - span_s);
  if (first < 0) return [];
  const each = Math.max(1, Math.ceil((trace.time_s.length - first) / most));
  const points: PlotPoint[] = [];
  for (let at = first; at < trace.time_s.length; at += each) {
    points.push(merge(trace, at, Math.min(at + each, trace.time_s.length)));
  }
  return points;
}

function merge(trace: Trace, from: number, to: number): PlotPoint {
  const time_s = trace.time_s[from] ?? 0;
  let least = Infinity;
  let greatest = -Infinity;
  for (let at = from; at < to; at += 1) {
    const low = trace.low[at] ?? null;
    const high = trace.high[at] ?? null;
    if (low === null || high === null) return { time_s, range: null };
    least = Math.min(least, low);
    greatest = Math.max(greatest, high);
  }
  return { time_s, range: [least, greatest] };
}

/** Round figures that enclose all values, about four apart: the marks of an axis. */
export function roundMarks(least: number, greatest: number): readonly number[] {
  const apart = Math.max(greatest - least, Math.abs(greatest) * 1e-3, 1e-9);
  const step = roundStep(apart / 4);
  const from = Math.floor(least / step);
  const to = Math.max(from + 1, Math.ceil(greatest / step));
  const places = Math.max(0, -Math.floor(Math.log10(step)));
  return Array.from({ length: to - from + 1 }, (_, at) =>
    Number(((from + at) * step).toFixed(places)),
  );
}

function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const share = rough / power;
  if (share <= 1) return power;
  if (share <= 2) return 2 * power;
  return share <= 5 ? 5 * power : 10 * power;
}

/** What the axis has to enclose: the points and the limits. */
export function marksFor(
  points: readonly PlotPoint[],
  limits: readonly (number | null)[],
): readonly number[] {
  const values = points.flatMap(({ range }) => (range === null ? [] : [...range]));
  const all = [...values, ...limits.filter((limit) => limit !== null)];
  return all.length === 0 ? [0, 1] : roundMarks(Math.min(...all), Math.max(...all));
}
