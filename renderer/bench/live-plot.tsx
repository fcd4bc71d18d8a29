import { startTransition, useEffect, useState } from "react";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import type { Store } from "../store/store.js";
import type { Trace } from "../store/state.js";
import { useSize } from "../store/use-size.js";
import { plotView } from "../view/plot-view.js";
import { Plot } from "./plot.js";

const SPAN_S = 30;
/** Often enough for the eye, and leaves the thread to the reading. */
const EVERY_MS = 150;

/** The trace of the first meter with the limits of the step. */
export function LivePlot() {
  const { store } = useBench();
  // Only what the plot draws of the step: its contact changes with every reading.
  const stepUnit = useBenchSlice((state) => state.step?.unit ?? null);
  const stepLimits = useBenchSlice((state) => state.step?.limits ?? null);
  const unit = useBenchSlice((state) => state.readings["a"]?.reading.unit ?? "");
  const [box, size] = useSize();
  const trace = useTrace(store);
  const limits = stepUnit === unit ? stepLimits : null;
  const view = trace && size.width > 0 ? plotView(trace, limits, size, SPAN_S) : null;
  return (
    <section className="area-plot card panel" aria-label="Trace">
      <h2 className="label">
        Last {SPAN_S} s{unit === "" ? "" : `, ${view?.axis.prefix ?? ""}${unit}`}
      </h2>
      <div className="plot-body" ref={box} data-testid="plot">
        {view && <Plot view={view} limits={limits} size={size} />}
      </div>
    </section>
  );
}

/**
 * Samples the trace instead of subscribing to it, and draws it as a transition: a reading that
 * arrives meanwhile is drawn first.
 */
function useTrace(store: Store): Trace | undefined {
  const [trace, setTrace] = useState(() => store.get().traces["a"]);
  useEffect(() => {
    const timer = setInterval(() => {
      startTransition(() => setTrace(store.get().traces["a"]));
    }, EVERY_MS);
    return () => clearInterval(timer);
  }, [store]);
  return trace;
}
