/** An upright axis. Its ends and marks are places: values, or on decades their logarithms. */
export interface Axis {
  readonly from: number;
  readonly to: number;
  readonly marks: readonly number[];
  readonly byDecades: boolean;
  /** What the marks are divided by, and the prefix that says so; on decades each mark has its own. */
  readonly scale: number;
  readonly prefix: string;
}

/** Room above and below what is drawn, as a share of its height. */
const ROOM = 0.06;

/**
 * Ohms run from a lead's tenth to megohms and back within a second of touching: when they do, their
 * axis goes by decades, or the tenths would lie flat on its foot.
 */
const LEAST_OHM = 0.1;
const MOST_EVEN = 100;

export interface AxisWishes {
  /** About so many marks. */
  readonly marks: number;
  /** What the axis spans at the least. */
  readonly least_span?: number;
  readonly unit?: string;
}

/** An axis around the values that are drawn and the limits, marked at round figures. */
export function axisFor(values: readonly number[], wishes: AxisWishes): Axis {
  const ohms = wishes.unit === "Ω" ? values.map((ohm) => Math.max(LEAST_OHM, ohm)) : [];
  const wide = ohms.length > 0 && Math.max(...ohms) > MOST_EVEN * Math.min(...ohms);
  return wide
    ? decades(Math.min(...ohms), Math.max(...ohms), wishes.marks)
    : evenly(values, wishes);
}

/** Where a value lies on the axis. */
export function placed({ byDecades }: Axis, value: number): number {
  return byDecades ? Math.log10(Math.max(LEAST_OHM, value)) : value;
}

/** What is written beside a mark. */
export function markText({ byDecades, scale }: Axis, mark: number): string {
  if (!byDecades) return String(Number((mark / scale).toPrecision(6)));
  const value = 10 ** mark;
  const own = value >= 1e6 ? 1e6 : value >= 1e3 ? 1e3 : 1;
  return `${Number((value / own).toPrecision(6))}${own === 1e6 ? "M" : own === 1e3 ? "k" : ""}`;
}

function decades(least: number, greatest: number, most: number): Axis {
  const from = Math.floor(Math.log10(least));
  const to = Math.ceil(Math.log10(greatest));
  const every = Math.ceil((to - from + 1) / Math.max(1, most));
  const count = Math.floor((to - from) / every) + 1;
  const marks = Array.from({ length: count }, (_, at) => from + at * every);
  // The room below keeps a reading of nothing off the foot of the drawing.
  const room = (to - from) * ROOM;
  return { from: from - room, to, marks, byDecades: true, scale: 1, prefix: "" };
}

function evenly(all: readonly number[], { marks, least_span = 0 }: AxisWishes): Axis {
  const least = all.length === 0 ? 0 : Math.min(...all);
  const greatest = all.length === 0 ? 1 : Math.max(...all);
  // A flat line is drawn in the middle, not magnified until its last count is a cliff.
  const apart = Math.max(greatest - least, Math.abs(greatest) * 0.01, 1e-9);
  const more = Math.max(0, least_span - apart) / 2;
  const from = least - more - apart * ROOM;
  const to = Math.max(greatest, least + apart) + more + apart * ROOM;
  const round = roundMarks(from, to, marks);
  return { from, to, marks: round, byDecades: false, ...prefixFor(from, to) };
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
