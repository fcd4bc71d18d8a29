import { ErrorBar, Scatter, ScatterChart, XAxis, YAxis } from "recharts";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useSize } from "../store/use-size.js";
import { roundMarks } from "../view/plot-axis.js";

type Point = CallResult<"packResistance">[number];

const HEIGHT_PIXELS = 300;
const SHAPES = ["circle", "diamond", "square", "triangle", "cross", "star"] as const;
const SIGNS = ["\u25cf", "\u25c6", "\u25a0", "\u25b2", "\u271a", "\u2605"] as const;

interface Tool {
  readonly name: string;
  readonly points: readonly Point[];
  /** Which mark it has: its own, or its model's where there are more tools than marks. */
  readonly mark: number;
  /** What the mark stands for. */
  readonly markName: string;
}

/** One mark a measurement, joined by tool; whiskers are two standard uncertainties each way. */
export function ResistancePlot({ points }: { readonly points: readonly Point[] }) {
  const [box, size] = useSize();
  const tools = byTool(points);
  return (
    <>
      <div
        className="trend"
        ref={box}
        style={{ height: HEIGHT_PIXELS }}
        role="img"
        aria-label={spoken(tools)}
      >
        {size.width > 0 && <Chart points={points} tools={tools} width={size.width} />}
      </div>
      <ul className="legend">
        {[...new Map(tools.map(({ markName, mark }) => [markName, mark]))].map(([name, mark]) => (
          <li key={name}>
            <span style={{ color: colourOf(mark) }} aria-hidden="true">
              {SIGNS[mark]}
            </span>{" "}
            {name || "model not stated"}
          </li>
        ))}
      </ul>
    </>
  );
}

interface ChartProps {
  readonly points: readonly Point[];
  readonly tools: readonly Tool[];
  readonly width: number;
}

function Chart({ points, tools, width }: ChartProps) {
  const times = points.map(({ at }) => Date.parse(at));
  const [from, to] = [Math.min(...times) - DAY_MS * 15, Math.max(...times) + DAY_MS * 15];
  const tops = points.map(({ resistance_ohm, u_ohm }) => resistance_ohm + 2 * (u_ohm ?? 0));
  const top_mohm = Math.max(...tops) * 1000 * 1.08;
  return (
    <ScatterChart
      width={width}
      height={HEIGHT_PIXELS}
      margin={{ top: 8, right: 24, bottom: 0, left: 0 }}
      accessibilityLayer={false}
    >
      <XAxis
        dataKey="time_ms"
        type="number"
        domain={[from, to]}
        ticks={monthMarks(from, to)}
        tickFormatter={monthText}
        stroke="var(--rule)"
        height={24}
      />
      <YAxis
        dataKey="mohm"
        type="number"
        domain={[0, top_mohm]}
        ticks={[...roundMarks(0, top_mohm, 6)]}
        stroke="var(--rule)"
        width={70}
        unit=" m&#937;"
      />
      {tools.map(({ name, points: own, mark }) => (
        <Scatter
          key={name}
          data={own.map(markOf)}
          shape={SHAPES[mark] ?? "circle"}
          fill={colourOf(mark)}
          line={{ stroke: colourOf(mark), strokeWidth: 1.5 }}
          isAnimationActive={false}
        >
          <ErrorBar
            dataKey="whisker"
            width={6}
            isAnimationActive={false}
            stroke="var(--ink)"
            direction="y"
          />
        </Scatter>
      ))}
    </ScatterChart>
  );
}

function colourOf(n: number): string {
  return n % 2 === 0 ? "var(--now)" : "var(--ink)";
}

const DAY_MS = 86_400_000;

function byTool(points: readonly Point[]): Tool[] {
  const tools = groupBy(points, ({ model, serial }) => `${model} ${serial}`);
  const byModel = tools.length > SHAPES.length;
  const marks = new Map<string, number>();
  return tools.map(([name, own]) => {
    const markName = byModel ? (own[0]?.model ?? "") : name;
    const mark = (marks.get(markName) ?? marks.size) % SHAPES.length;
    if (!marks.has(markName)) marks.set(markName, marks.size);
    return { name, points: own, mark, markName };
  });
}

function groupBy(
  points: readonly Point[],
  nameOf: (point: Point) => string,
): [string, readonly Point[]][] {
  const groups = new Map<string, Point[]>();
  for (const point of points) {
    groups.set(nameOf(point), [...(groups.get(nameOf(point)) ?? []), point]);
  }
  return [...groups];
}

function markOf({ at, resistance_ohm, u_ohm }: Point) {
  return {
    time_ms: Date.parse(at),
    mohm: resistance_ohm * 1000,
    whisker: u_ohm === null ? 0 : 2000 * u_ohm,
  };
}

/** First days of months or years, about six. */
function monthMarks(from: number, to: number): number[] {
  const months = (to - from) / (DAY_MS * 30.4);
  const step = [1, 2, 3, 6, 12, 24, 60].find((each) => months / each <= 8) ?? 120;
  const first = new Date(from);
  const marks: number[] = [];
  for (let month = Math.ceil((first.getUTCMonth() + 1) / step) * step; ; month += step) {
    const mark = Date.UTC(first.getUTCFullYear(), month, 1);
    if (mark > to) return marks;
    marks.push(mark);
  }
}

function monthText(time_ms: number): string {
  return new Date(time_ms).toLocaleDateString(undefined, {
    year: "numeric",
    month: "short",
    timeZone: "UTC",
  });
}

function spoken(tools: readonly Tool[]): string {
  const words = tools.map(({ name, points }) => {
    const [first, last] = [points[0], points.at(-1)].map((point) =>
      ((point?.resistance_ohm ?? 0) * 1000).toPrecision(3),
    );
    return `${name}: ${first} to ${last} milliohms`;
  });
  return `Resistance over time. ${words.join("; ")}.`;
}
