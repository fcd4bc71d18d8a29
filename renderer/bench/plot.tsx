import { Area, AreaChart, ReferenceArea, ReferenceLine, XAxis, YAxis } from "recharts";
import type { Limits } from "../store/state.js";
import type { Size } from "../store/use-size.js";
import { markText, placed } from "../view/plot-axis.js";
import type { Axis } from "../view/plot-axis.js";
import type { PlotView } from "../view/plot-view.js";

interface PlotProps {
  readonly view: PlotView;
  /** A second trace behind the first, dashed; with an axis of its own where its unit is another. */
  readonly back?: PlotView | null;
  readonly ownAxis?: boolean;
  readonly limits: Limits | null;
  readonly size: Size;
  /** How times are written: seconds ago, or seconds since zero. */
  readonly times?: "ago" | "from-start";
}

const AXIS_PIXELS = 52;
const EDGE_PIXELS = 8;

/** A trace with the limits of its step; the same at the bench and in a job. */
export function Plot({
  view,
  back = null,
  ownAxis = false,
  limits,
  size,
  times = "ago",
}: PlotProps) {
  const right = back !== null && ownAxis ? AXIS_PIXELS : 0;
  return (
    <div className="plot-layers" style={{ width: size.width, height: size.height }}>
      {back && <BackLayer view={back} ownAxis={ownAxis} size={size} />}
      <FrontLayer view={view} limits={limits} size={size} times={times} right={right} />
    </div>
  );
}

interface FrontProps extends Pick<PlotProps, "view" | "limits" | "size"> {
  readonly times: "ago" | "from-start";
  /** Room for the axis of the trace behind, pixels. */
  readonly right: number;
}

function FrontLayer({ view, limits, size, times, right }: FrontProps) {
  const { points, span_s, end_s, axis } = view;
  const [low, high] = [limits?.low ?? null, limits?.high ?? null].map((limit) =>
    limit === null ? null : placed(axis, limit),
  ) as [number | null, number | null];
  const written = times === "ago" ? (time_s: number) => time_s - end_s : (time_s: number) => time_s;
  const label = (time_s: number) =>
    `${Number(written(time_s).toFixed(span_s < 10 ? 1 : 0))} s`.replace("-", "\u2212");
  return (
    <AreaChart
      width={size.width}
      height={size.height}
      data={[...points]}
      margin={{ top: 6, right: EDGE_PIXELS + right, bottom: 0, left: 0 }}
      accessibilityLayer={false}
    >
      <XAxis
        dataKey="time_s"
        type="number"
        domain={[end_s - span_s, end_s]}
        allowDataOverflow
        ticks={[end_s - span_s, end_s - span_s / 2, end_s]}
        tickFormatter={label}
        stroke="var(--rule)"
        height={22}
      />
      <YAxis {...axisProps(axis)} />
      {low !== null && high !== null && (
        <ReferenceArea y1={low} y2={high} fill="var(--rule)" fillOpacity={0.18} />
      )}
      {low !== null && <ReferenceLine y={low} stroke="var(--ink)" strokeDasharray="8 4" />}
      {high !== null && <ReferenceLine y={high} stroke="var(--ink)" strokeDasharray="8 4" />}
      <Area {...LINE} stroke="var(--now)" strokeWidth={2} fill="var(--now)" fillOpacity={1} />
    </AreaChart>
  );
}

/** Lies exactly under the front layer; its axis of time is that one's. */
function BackLayer({
  view,
  ownAxis,
  size,
}: Pick<FrontProps, "view" | "size"> & { readonly ownAxis: boolean }) {
  const { points, span_s, end_s, axis } = view;
  const margin = {
    top: 6,
    right: EDGE_PIXELS,
    bottom: 0,
    left: ownAxis ? AXIS_PIXELS : 0,
  };
  return (
    <AreaChart
      className="plot-back"
      width={size.width}
      height={size.height}
      data={[...points]}
      margin={margin}
      accessibilityLayer={false}
    >
      <XAxis
        dataKey="time_s"
        type="number"
        domain={[end_s - span_s, end_s]}
        allowDataOverflow
        tick={false}
        axisLine={false}
        tickLine={false}
        height={22}
      />
      {ownAxis ? (
        <YAxis {...axisProps(axis)} orientation="right" />
      ) : (
        <YAxis {...axisProps(axis)} tick={false} axisLine={false} tickLine={false} />
      )}
      <Area
        {...LINE}
        stroke="var(--ink)"
        strokeWidth={1.5}
        strokeDasharray="5 4"
        fill="var(--ink)"
        fillOpacity={0.35}
      />
    </AreaChart>
  );
}

const LINE = {
  dataKey: "range",
  isAnimationActive: false,
  connectNulls: false,
  dot: false,
  activeDot: false,
  type: "linear",
} as const;

function axisProps(axis: Axis) {
  return {
    width: AXIS_PIXELS,
    domain: [axis.from, axis.to],
    ticks: [...axis.marks],
    tickFormatter: (mark: number) => markText(axis, mark),
    stroke: "var(--rule)",
  };
}
