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
    return drawn === null ? [] : [markup`<figure>${drawn}</figure>`];
  });
}

function onePlot(
  view: StepView,
  trace: StepTrace,
  before: StepTrace | null,
  id: string,
): Markup | null {
  const all = trace.series.value.map((value) => Math.abs(value ?? 0));
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
    series: series.map((each) => inUnits(each, scale)),
    marks: marksOf(view, trace).map((mark) => ({ ...mark, value: mark.value / scale.factor })),
  });
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
