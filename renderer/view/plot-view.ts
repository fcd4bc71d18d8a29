import type { Limits, Trace } from "../store/state.js";

export interface PlotPoint {
  readonly time_s: number;
  /** Least and greatest of the moments that this pixel stands for; null: no line. */
  readonly range: readonly [number, number] | null;
}

/** Silence of so many usual intervals, and of so many seconds, is a gap: the meter was not there. */
const GAP_INTERVALS = 5;
const GAP_S = 1;

/**
 * At most `most` points and the gaps between them: neighbours are merged into their least and
 * greatest, so that no peak is lost. A gap stays a gap: no line is ever drawn across it, be it that
 * the meter showed no number or that it was silent.
 */
export function plotPoints(
  trace: Trace,
  span_s: number,
  most: number,
  end_s = lastOf(trace),
): readonly PlotPoint[] {
  const first = trace.time_s.findIndex((time_s) => time_s >= end_s - span_s);
  if (first < 0) return [];
  const each = Math.max(1, Math.ceil((trace.time_s.length - first) / most));
  const longest_s = longestStep(trace.time_s.slice(first));
  const points: PlotPoint[] = [];
  let from = first;
  for (let at = first; at < trace.time_s.length; at += 1) {
    const time_s = trace.time_s[at] ?? 0;
    const silent = (trace.time_s[at + 1] ?? time_s) - time_s > longest_s;
    if (!silent && at + 1 - from < each && at + 1 < trace.time_s.length) continue;
    points.push(merge(trace, from, at + 1));
    if (silent) points.push({ time_s: time_s + longest_s / 2, range: null });
    from = at + 1;
  }
  return points;
}

/** The longest time between two moments over which a line may be drawn, seconds. */
function longestStep(time_s: readonly number[]): number {
  const steps = time_s.slice(1).map((later, at) => later - (time_s[at] ?? later));
  const usual = steps.sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  return Math.max(GAP_S, GAP_INTERVALS * usual);
}

/** When a trace ends, seconds; 0 for one without points. */
export function lastOf({ time_s }: Trace): number {
  return time_s.at(-1) ?? 0;
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

export interface Axis {
  readonly from: number;
  readonly to: number;
  readonly marks: readonly number[];
  /** What the marks are divided by, and the prefix that says so. */
  readonly scale: number;
  readonly prefix: string;
}

/** Room above and below what is drawn, as a share of its height. */
const ROOM = 0.06;

/**
 * An axis around the points and the limits, marked at round figures; `least_span` is what it spans
 * at the least.
 */
export function axisFor(
  points: readonly PlotPoint[],
  limits: readonly (number | null)[],
  marks: number,
  least_span = 0,
): Axis {
  const values = points.flatMap(({ range }) => (range === null ? [] : [...range]));
  const all = [...values, ...limits.filter((limit) => limit !== null)];
  const least = all.length === 0 ? 0 : Math.min(...all);
  const greatest = all.length === 0 ? 1 : Math.max(...all);
  // A flat line is drawn in the middle, not magnified until its last count is a cliff.
  const apart = Math.max(greatest - least, Math.abs(greatest) * 0.01, 1e-9);
  const more = Math.max(0, least_span - apart) / 2;
  const from = least - more - apart * ROOM;
  const to = Math.max(greatest, least + apart) + more + apart * ROOM;
  return { from, to, marks: roundMarks(from, to, marks), ...prefixFor(from, to) };
}

/** About `most` round figures between two values, never more than one too many. */
export function roundMarks(from: number, to: number, most: number): readonly number[] {
  const step = roundStep((to - from) / Math.max(1, most));
  const places = Math.max(0, -Math.floor(Math.log10(step)));
  const first = Math.ceil(from / step);
  const count = Math.floor(to / step) - first + 1;
  return Array.from({ length: Math.max(0, count) }, (_, at) =>
    Number(((first + at) * step).toFixed(places)),
  );
}

function roundStep(rough: number): number {
  const power = 10 ** Math.floor(Math.log10(rough));
  const share = rough / power;
  if (share <= 1) return power;
  if (share <= 2) return 2 * power;
  return share <= 5 ? 5 * power : 10 * power;
}

function prefixFor(from: number, to: number): { scale: number; prefix: string } {
  const size = Math.max(Math.abs(from), Math.abs(to));
  if (size >= 1e6) return { scale: 1e6, prefix: "M" };
  if (size >= 1e3) return { scale: 1e3, prefix: "k" };
  return size < 0.1 ? { scale: 1e-3, prefix: "m" } : { scale: 1, prefix: "" };
}

export interface PlotView {
  readonly points: readonly PlotPoint[];
  readonly span_s: number;
  readonly end_s: number;
  readonly axis: Axis;
}

/** One mark of the vertical axis for so many pixels. */
const MARK_PIXELS = 36;
/** More are not seen, and cost the thread that draws the reading. */
const MOST_POINTS = 300;

/** The last `span_s` of a trace for a box of so many pixels. */
export function plotView(
  trace: Trace,
  limits: Limits | null,
  { width, height }: { readonly width: number; readonly height: number },
  span_s: number,
  { end_s = lastOf(trace), least_span = 0 }: { end_s?: number; least_span?: number } = {},
): PlotView {
  const most = Math.min(MOST_POINTS, Math.max(50, Math.floor(width / 2)));
  const points = plotPoints(trace, span_s, most, end_s);
  const marks = Math.floor(height / MARK_PIXELS);
  const axis = axisFor(points, [limits?.low ?? null, limits?.high ?? null], marks, least_span);
  return { points, span_s, end_s, axis };
}

/** Two whole traces on the same axes, one in front of the other. */
export function plotPair(
  front: Trace,
  back: Trace,
  size: { readonly width: number; readonly height: number },
  { from_s, to_s }: { readonly from_s: number; readonly to_s: number },
): { readonly front: PlotView; readonly back: PlotView } {
  const most = Math.max(50, Math.floor(size.width / 2));
  const [own, other] = [front, back].map((trace) => plotPoints(trace, Infinity, most));
  const marks = Math.floor(size.height / MARK_PIXELS);
  const axis = axisFor([...(own ?? []), ...(other ?? [])], [], marks);
  const view = { span_s: to_s - from_s, end_s: to_s, axis };
  return { front: { ...view, points: own ?? [] }, back: { ...view, points: other ?? [] } };
}
