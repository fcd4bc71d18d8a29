import { startTransition, useEffect, useState } from "react";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import type { Store } from "../store/store.js";
import type { BenchState, Limits } from "../store/state.js";
import { useSize } from "../store/use-size.js";
import type { Size } from "../store/use-size.js";
import { lastOf, plotView } from "../view/plot-view.js";
import type { PlotView } from "../view/plot-view.js";
import { Plot } from "./plot.js";

const SPAN_S = 30;
/** Often enough for the eye, and leaves the thread to the reading. */
const EVERY_MS = 150;

/** The axis behind spans so many counts at the least: idle noise is no second event. */
const QUIET_COUNTS = 100;

interface Drawn {
  readonly channel: string;
  readonly quantity: string;
  readonly unit: string;
  readonly view: PlotView;
}

/** The traces of the meters: in front the one that the step reads, with its limits. */
export function LivePlot() {
  const { store } = useBench();
  // Only what the plot draws of the step: its contact changes with every reading.
  const stepUnit = useBenchSlice((state) => state.step?.unit ?? null);
  const stepLimits = useBenchSlice((state) => state.step?.limits ?? null);
  const [box, size] = useSize();
  const sample = useSample(store);
  const [front, back] = drawn(sample, stepUnit, stepLimits, size);
  const limits = front?.unit === stepUnit ? stepLimits : null;
  return (
    <section className="area-plot card panel" aria-label="Trace">
      <h2 className="label">
        Last {SPAN_S} s{front && !back ? unitWords(front) : ""}
        {front && back && <Legend front={front} back={back} />}
      </h2>
      <div className="plot-body" ref={box} data-testid="plot">
        {front && (
          <Plot view={front.view} back={back?.view ?? null} ownAxis limits={limits} size={size} />
        )}
      </div>
    </section>
  );
}

function unitWords({ view, unit }: Drawn): string {
  return unit === "" ? "" : `, ${view.axis.prefix}${unit}`;
}

/** Which line is which; each has its own axis, on the side it is named on. */
function Legend({ front, back }: { readonly front: Drawn; readonly back: Drawn }) {
  const named = (line: Drawn): string => `${line.quantity}${unitWords(line)}`;
  return (
    <span className="legend" data-testid="plot-legend">
      <span data-line="front">{named(front)} (left)</span>
      <span data-line="back">{named(back)} (right)</span>
    </span>
  );
}

interface Sample {
  readonly traces: BenchState["traces"];
  readonly readings: BenchState["readings"];
}

/** The trace in front and the one behind it, over the same seconds. */
function drawn(
  { traces, readings }: Sample,
  stepUnit: string | null,
  limits: Limits | null,
  size: Size,
): [front: Drawn | null, back: Drawn | null] {
  if (size.width === 0) return [null, null];
  const lines = Object.entries(traces)
    .filter(([, trace]) => trace.time_s.length > 0)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([channel, trace]) => ({ channel, trace, ...faceOf(readings[channel]) }));
  const front = lines.find(({ unit }) => unit === stepUnit) ?? lines[0];
  if (front === undefined) return [null, null];
  const back = lines.find(({ channel }) => channel !== front.channel);
  const end_s = Math.max(...lines.map(({ trace }) => lastOf(trace)));
  const seen = (line: (typeof lines)[number], own: Limits | null, counts: number): Drawn => ({
    ...line,
    view: plotView(line.trace, own, size, SPAN_S, {
      end_s,
      least_span: counts * line.count,
      unit: line.unit,
    }),
  });
  const frontLimits = front.unit === stepUnit ? limits : null;
  return [seen(front, frontLimits, 0), back === undefined ? null : seen(back, null, QUIET_COUNTS)];
}

function faceOf(now: BenchState["readings"][string] | undefined) {
  const { quantity = "", unit = "", resolution = null } = now?.reading ?? {};
  return { quantity, unit, count: resolution ?? 0 };
}

/**
 * Samples the traces instead of subscribing to them, and draws them as a transition: a reading that
 * arrives meanwhile is drawn first.
 */
function useSample(store: Store): Sample {
  const [sample, setSample] = useState<Sample>(() => store.get());
  useEffect(() => {
    const timer = setInterval(() => {
      startTransition(() => {
        const { traces, readings } = store.get();
        setSample((last) => (last.traces === traces ? last : { traces, readings }));
      });
    }, EVERY_MS);
    return () => clearInterval(timer);
  }, [store]);
  return sample;
}
