import { Area, AreaChart, ReferenceArea, ReferenceLine, XAxis, YAxis } from "recharts";
import type { Limits } from "../store/state.js";
import type { Size } from "../store/use-size.js";
import type { PlotView } from "../view/plot-view.js";

interface PlotProps {
  readonly view: PlotView;
  readonly limits: Limits | null;
  readonly size: Size;
}

/** A trace with the limits of its step; the same at the bench and in a job. */
export function Plot({ view: { points, span_s, end_s, axis }, limits, size }: PlotProps) {
  const { low, high } = limits ?? { low: null, high: null };
  const ago = (time_s: number) => `${Math.round(time_s - end_s)} s`.replace("-", "\u2212");
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
        domain={[end_s - span_s, end_s]}
        allowDataOverflow
        ticks={[end_s - span_s, end_s - span_s / 2, end_s]}
        tickFormatter={ago}
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
