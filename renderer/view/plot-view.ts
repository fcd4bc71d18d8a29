import type { Limits, Trace } from "../store/state.js";
import { axisFor, placed } from "./plot-axis.js";
import type { Axis } from "./plot-axis.js";

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

export interface PlotView {
  readonly points: readonly PlotPoint[];
  readonly span_s: number;
  readonly end_s: number;
  readonly axis: Axis;
}

interface Box {
  readonly width: number;
  readonly height: number;
}

/** One mark of the vertical axis for so many pixels. */
const MARK_PIXELS = 36;
/** More are not seen, and cost the thread that draws the reading. */
const MOST_POINTS = 300;

interface Around {
  readonly end_s?: number;
  readonly least_span?: number;
  /** Of the values, where ohms are to be told from others. */
  readonly unit?: string;
}

/** The last `span_s` of a trace for a box of so many pixels. */
export function plotView(
  trace: Trace,
  limits: Limits | null,
  { width, height }: Box,
  span_s: number,
  { end_s = lastOf(trace), ...wishes }: Around = {},
): PlotView {
  const most = Math.min(MOST_POINTS, Math.max(50, Math.floor(width / 2)));
  const points = plotPoints(trace, span_s, most, end_s);
  const bounds = [limits?.low ?? null, limits?.high ?? null].filter((limit) => limit !== null);
  const marks = Math.floor(height / MARK_PIXELS);
  const axis = axisFor([...valuesOf(points), ...bounds], { marks, ...wishes });
  return { points: placedOn(axis, points), span_s, end_s, axis };
}

/** Two whole traces on the same axes, one in front of the other. */
export function plotPair(
  front: Trace,
  back: Trace,
  { width, height }: Box,
  { from_s, to_s, unit }: { readonly from_s: number; readonly to_s: number; readonly unit: string },
): { readonly front: PlotView; readonly back: PlotView } {
  const most = Math.max(50, Math.floor(width / 2));
  const own = plotPoints(front, Infinity, most);
  const other = plotPoints(back, Infinity, most);
  const marks = Math.floor(height / MARK_PIXELS);
  const axis = axisFor([...valuesOf(own), ...valuesOf(other)], { marks, unit });
  const view = { span_s: to_s - from_s, end_s: to_s, axis };
  return {
    front: { ...view, points: placedOn(axis, own) },
    back: { ...view, points: placedOn(axis, other) },
  };
}

function valuesOf(points: readonly PlotPoint[]): readonly number[] {
  return points.flatMap(({ range }) => range ?? []);
}

function placedOn(axis: Axis, points: readonly PlotPoint[]): readonly PlotPoint[] {
  if (!axis.byDecades) return points;
  return points.map(({ time_s, range }) => ({
    time_s,
    range: range && [placed(axis, range[0]), placed(axis, range[1])],
  }));
}
