import { markup, type Markup } from "./markup.js";
import type { ReportInput, StepTrace, StepView } from "./model.js";
import { plotSvg, type PlotMark } from "./plot.js";
import { foundWords, nameWords, scaleOf } from "./results.js";

/** The plots of a step whose reading is a course, not a number: sag, change, sweep. */
export function stepPlots(input: ReportInput, view: StepView): Markup[] {
  const { step } = view;
  if (step.kind !== "measure" || step.watch.kind === "settle") return [];
  const before = input.tracesBefore.get(step.id) ?? [];
  return (input.traces.get(step.id) ?? []).flatMap((trace, index) => {
    const other = before.find(({ quantity }) => quantity === trace.quantity);
    const drawn = onePlot(view, trace, other ?? null, index);
    return drawn === null ? [] : [markup`<figure>${drawn}</figure>`];
  });
}

function onePlot(
  view: StepView,
  trace: StepTrace,
  before: StepTrace | null,
  index: number,
): Markup | null {
  const title = `${view.step.title}: ${trace.quantity} over time`;
  const series = [{ ...trace.series, label: before === null ? trace.quantity : "after repair" }];
  if (before !== null) series.push({ ...before.series, label: "before repair" });
  return plotSvg({
    id: `plot-${view.step.id}-${index}`,
    title,
    description: describe(view, trace),
    yTitle: `${nameWords(trace.quantity)} (${trace.unit})`,
    xTitle: "Time since the step began (s)",
    series,
    marks: marksOf(view, trace.unit),
  });
}

function describe({ result }: StepView, { series, unit }: StepTrace): string {
  const values = series.value.filter((value) => value !== null);
  const low = values.reduce((least, value) => Math.min(least, value), Infinity);
  const high = values.reduce((most, value) => Math.max(most, value), -Infinity);
  const found = result === null ? "" : ` Judged: ${foundWords(result)}.`;
  return `${values.length} readings between ${low} ${unit} and ${high} ${unit}.${found}`;
}

/** Limits, and the figures of the watch that have the unit of the plot. */
function marksOf({ result }: StepView, unit: string): PlotMark[] {
  if (result === null) return [];
  const { limits } = result;
  const marks: PlotMark[] = [];
  if (result.unit === unit) {
    const { decimals } = scaleOf(result);
    const limit = (label: string, value: number | null): void => {
      if (value !== null)
        marks.push({ label: `${label} ${value.toFixed(Math.min(decimals, 3))}`, value });
    };
    limit("low limit", limits?.low ?? null);
    limit("high limit", limits?.high ?? null);
  }
  for (const [name, detail] of Object.entries(result.details)) {
    if (detail.unit !== unit || detail.value === null) continue;
    marks.push({
      label: `${nameWords(name).toLowerCase()} ${short(detail.value)}`,
      value: detail.value,
    });
  }
  return marks.slice(0, MOST_MARKS);
}

const MOST_MARKS = 8;

function short(value: number): string {
  return String(Number(value.toPrecision(4)));
}
