import { startTransition, useEffect, useRef, useState } from "react";
import { Area, AreaChart, ReferenceArea, ReferenceLine, XAxis, YAxis } from "recharts";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import type { Store } from "../store/store.js";
import type { Limits, Trace } from "../store/state.js";
import { axisFor, plotPoints } from "../view/plot-view.js";

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
  const view = trace && size.width > 0 ? plotView(trace, limits, size) : null;
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

interface Size {
  readonly width: number;
  readonly height: number;
}

/** One mark of the vertical axis for so many pixels. */
const MARK_PIXELS = 36;

function plotView(trace: Trace, limits: Limits | null, { width, height }: Size) {
  const points = plotPoints(trace, SPAN_S, Math.min(300, Math.max(50, Math.floor(width / 2))));
  const marks = Math.floor(height / MARK_PIXELS);
  return {
    points,
    end_s: trace.time_s.at(-1) ?? 0,
    axis: axisFor(points, [limits?.low ?? null, limits?.high ?? null], marks),
  };
}

interface PlotProps {
  readonly view: ReturnType<typeof plotView>;
  readonly limits: Limits | null;
  readonly size: Size;
}

function Plot({ view: { points, end_s, axis }, limits, size }: PlotProps) {
  const { low, high } = limits ?? { low: null, high: null };
  return (
    <AreaChart
      width={size.width}
      height={size.height}
      data={[...points]}
      margin={{ top: 6, right: 8, bottom: 0, left: 0 }}
      accessibilityLayer={false}
    >
      <XAxis
        dataKey="time_s"
        type="number"
        domain={[end_s - SPAN_S, end_s]}
        allowDataOverflow
        ticks={[end_s - SPAN_S, end_s - SPAN_S / 2, end_s]}
        tickFormatter={(time_s: number) => `${Math.round(time_s - end_s)} s`.replace("-", "\u2212")}
        stroke="var(--rule)"
        height={22}
      />
      <YAxis
        width={52}
        domain={[axis.from, axis.to]}
        ticks={[...axis.marks]}
        tickFormatter={(value: number) => String(Number((value / axis.scale).toPrecision(6)))}
        stroke="var(--rule)"
      />
      {low !== null && high !== null && (
        <ReferenceArea y1={low} y2={high} fill="var(--rule)" fillOpacity={0.18} />
      )}
      {low !== null && <ReferenceLine y={low} stroke="var(--ink)" strokeDasharray="8 4" />}
      {high !== null && <ReferenceLine y={high} stroke="var(--ink)" strokeDasharray="8 4" />}
      <Area
        dataKey="range"
        stroke="var(--now)"
        strokeWidth={2}
        fill="var(--now)"
        fillOpacity={1}
        isAnimationActive={false}
        connectNulls={false}
        dot={false}
        type="linear"
      />
    </AreaChart>
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

function useSize() {
  const ref = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const observer = new ResizeObserver(([entry]) => {
      if (entry === undefined) return;
      const { width, height } = entry.contentRect;
      setSize({ width: Math.floor(width), height: Math.floor(height) });
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, size] as const;
}
