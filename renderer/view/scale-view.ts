import type { Limits } from "../store/state.js";
import { figureText } from "./figures.js";

export interface ScaleMark {
  /** Share of the width, 0 to 1. */
  readonly at: number;
  readonly label: string;
}

export interface Span {
  readonly from: number;
  readonly to: number;
}

export interface ScaleView {
  readonly low: ScaleMark | null;
  readonly high: ScaleMark | null;
  /** Where the zone that passes lies; a one-sided zone runs to the edge. */
  readonly zone: Span;
  readonly value: ScaleMark | null;
  /** The value lies outside the drawn span on this side. */
  readonly beyond: "low" | "high" | null;
  readonly whisker: Span | null;
}

export interface ScaleInput {
  readonly limits: Limits;
  readonly unit: string;
  readonly value: number | null;
  /** Off the meter's range: drawn at the edge. */
  readonly overload?: boolean | "positive" | "negative";
  readonly uncertainty: number | null;
  readonly resolution: number | null;
}

/** Room beside the limits, as a share of the distance between them. */
const MARGIN = 0.5;
/** A mark at the very edge stands for "further out". */
const EDGE = 0.015;

/** The scale of a step; null where there is no limit to draw. */
export function scaleView(input: ScaleInput): ScaleView | null {
  const span = spanOf(input.limits, input.value);
  if (span === null) return null;
  const place = (value: number): number => (value - span.from) / (span.to - span.from);
  const mark = (value: number): ScaleMark => ({
    at: clamp(place(value)),
    label: figureText(value, input.unit, input.resolution),
  });
  const { limits, value, uncertainty: u } = input;
  return {
    low: limits.low === null ? null : mark(limits.low),
    high: limits.high === null ? null : mark(limits.high),
    zone: {
      from: limits.low === null ? 0 : place(limits.low),
      to: limits.high === null ? 1 : place(limits.high),
    },
    value: value === null ? edgeMark(input.overload) : mark(value),
    beyond: value === null ? null : beyond(place(value)),
    whisker:
      value === null || u === null
        ? null
        : { from: clamp(place(value - u)), to: clamp(place(value + u)) },
  };
}

/** The limits alone fix the span, so that the same step always looks the same. */
function spanOf({ low, high }: Limits, value: number | null): Span | null {
  if (low === null && high === null) return null;
  const apart = low !== null && high !== null && high > low ? high - low : 0;
  const width = apart === 0 ? Math.max(Math.abs(low ?? high ?? 0), 1e-12) : apart;
  const to = (high ?? (low ?? 0) + width) + width * MARGIN;
  // With an upper limit alone the scale starts at zero, unless the value is negative.
  if (low === null && (high ?? 0) > 0 && (value ?? 0) >= 0) return { from: 0, to };
  return { from: (low ?? (high ?? 0) - width) - width * MARGIN, to };
}

function edgeMark(overload: ScaleInput["overload"]): ScaleMark | null {
  if (overload === undefined || overload === false) return null;
  return { at: overload === "negative" ? EDGE : 1 - EDGE, label: "over range" };
}

function clamp(place: number): number {
  return Math.min(1 - EDGE, Math.max(EDGE, place));
}

function beyond(place: number): "low" | "high" | null {
  if (place < 0) return "low";
  return place > 1 ? "high" : null;
}
