import { markup, type Markup } from "./markup.js";
import type { ReportInput, StepTrace, StepView } from "./model.js";
import { scaleFor, type Scale } from "./numbers.js";
import { plotSvg, type PlotMark, type PlotSeries } from "./plot.js";
import { foundWords, nameWords } from "./results.js";

/** The plots of a step whose reading is a course, not a number: sag, change, sweep. */
export function stepPlots(input: ReportInput, view: StepView, place = "detail"): Markup[] {
  const { step } = view;
  if (step.kind !== "measure" || step.watch.kind === "settle") return [];
  const before = input.tracesBefore.get(step.id) ?? [];
  return (input.traces.get(step.id) ?? []).flatMap((trace, index) => {
    const other = before.find(({ quantity }) => quantity === trace.quantity);
    const drawn = onePlot(view, trace, other ?? null, `${place}-${index}`);
    if (drawn === null) return [];
    return [markup`<figure>${drawn}<figcaption>${captionOf(view, trace)}</figcaption></figure>`];
  });
}

function onePlot(
  view: StepView,
  trace: StepTrace,
  before: StepTrace | null,
  id: string,
): Markup | null {
  const top = topOf(view, trace);
  const all = trace.series.value.map((value) => Math.min(Math.abs(value ?? 0), top));
  const scale = scaleFor(
    trace.unit,
    all.reduce((most, value) => Math.max(most, value), 0),
    null,
  );
  const title = `${view.step.title}: ${trace.quantity} over time`;
  const series = [{ ...trace.series, label: before === null ? trace.quantity : "after repair" }];
  if (before !== null) series.push({ ...before.series, label: "before repair" });
  return plotSvg({
    id: `plot-${view.step.id}-${id}`,
    title,
    description: describe(view, trace),
    yTitle: `${nameWords(trace.quantity)} (${scale.unit})`,
    xTitle: "Time since the step began (s)",
    series: series.map((each) => inUnits(cutAt(each, top), scale)),
    marks: marksOf(view, trace).map((mark) => ({ ...mark, value: mark.value / scale.factor })),
  });
}

/** Of which check, and what of its course is not drawn. */
function captionOf(view: StepView, trace: StepTrace): string {
  const top = topOf(view, trace);
  const above = trace.series.value.some((value) => value !== null && value > top);
  const cut = above ? ` Cut off at ${short(top)} ${trace.unit}: above it the circuit is open.` : "";
  return `Check ${view.number}, ${view.step.title}.${cut}`;
}

/**
 * Where the plot of a resistance ends: an open circuit between two touches must not press what was
 * judged into the bottom line.
 */
function topOf({ result }: StepView, { unit }: StepTrace): number {
  const high = result?.limits?.high ?? null;
  if (unit !== "Ω" || result === null || high === null) return Infinity;
  return TIMES_LIMIT * Math.max(high, Math.abs(result.value ?? 0));
}

const TIMES_LIMIT = 4;

function cutAt(series: PlotSeries, top: number): PlotSeries {
  const value = series.value.map((each) => (each === null ? null : Math.min(each, top)));
  return { ...series, value };
}

function inUnits(series: PlotSeries, { factor }: Scale): PlotSeries {
  const value = series.value.map((each) => (each === null ? null : each / factor));
  return { ...series, value };
}

function describe({ result }: StepView, { series, unit }: StepTrace): string {
  const values = series.value.filter((value) => value !== null);
  const low = values.reduce((least, value) => Math.min(least, value), Infinity);
  const high = values.reduce((most, value) => Math.max(most, value), -Infinity);
  const found = result === null ? "" : ` Judged: ${foundWords(result)}.`;
  return `${values.length} readings between ${low} ${unit} and ${high} ${unit}.${found}`;
}

/** Limits, and those figures of the watch that are levels on the plot (not differences). */
function marksOf({ result }: StepView, { unit, series }: StepTrace): PlotMark[] {
  if (result === null) return [];
  const marks: PlotMark[] = [];
  if (result.unit === unit && result.limits !== null) {
    const { low, high } = result.limits;
    if (low !== null) marks.push({ label: `low limit ${short(low)}`, value: low });
    if (high !== null) marks.push({ label: `high limit ${short(high)}`, value: high });
  }
  const values = series.value.filter((value) => value !== null);
  const low = values.reduce((least, value) => Math.min(least, value), Infinity);
  const high = values.reduce((most, value) => Math.max(most, value), -Infinity);
  const slack = (high - low) / 50;
  for (const [name, { value, unit: own }] of Object.entries(result.details)) {
    if (DIFFERENCES.has(name)) continue;
    if (own !== unit || value === null || value < low - slack || value > high + slack) continue;
    marks.push({ label: `${nameWords(name).toLowerCase()} ${short(value)}`, value });
  }
  return marks.slice(0, MOST_MARKS);
}

const MOST_MARKS = 8;
/** Figures in the unit of the plot that are no level on it. */
const DIFFERENCES: ReadonlySet<string> = new Set(["sag", "depth"]);

function short(value: number): string {
  return String(Number(value.toPrecision(4)));
}
