import { Bar, BarChart, LabelList, XAxis, YAxis } from "recharts";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useSize } from "../store/use-size.js";

/** Height of a bar with its gap, pixels. */
const ROW_PIXELS = 34;
const MOST_BARS = 12;
const AXIS_PIXELS = 24;

/** One bar a check: how often it failed, of how often it was judged. */
export function FailuresPlot({ failures }: { readonly failures: CallResult<"whatFails"> }) {
  const [box, size] = useSize();
  const rows = failures.slice(0, MOST_BARS).map((each) => ({
    name: `${each.model || "model not stated"}: ${each.title}`,
    failed: each.failed,
    passed: each.judged - each.failed,
    words: `${each.failed} of ${each.judged}`,
  }));
  const height = rows.length * ROW_PIXELS + AXIS_PIXELS;
  const names = Math.min(360, size.width * 0.42);
  return (
    <div className="trend" ref={box} style={{ height }} role="img" aria-label={spoken(rows)}>
      {size.width > 0 && (
        <BarChart
          width={size.width}
          height={height}
          data={rows}
          layout="vertical"
          margin={{ top: 0, right: 70, bottom: 0, left: 0 }}
          accessibilityLayer={false}
          barCategoryGap={8}
        >
          <XAxis type="number" allowDecimals={false} stroke="var(--rule)" height={AXIS_PIXELS} />
          <YAxis type="category" dataKey="name" width={names} stroke="var(--rule)" interval={0} />
          <Bar dataKey="failed" stackId="runs" fill="var(--fault)" isAnimationActive={false} />
          <Bar
            dataKey="passed"
            stackId="runs"
            fill="var(--card)"
            stroke="var(--rule)"
            isAnimationActive={false}
          >
            <LabelList dataKey="words" position="right" fill="var(--ink)" />
          </Bar>
        </BarChart>
      )}
    </div>
  );
}

function spoken(rows: readonly { readonly name: string; readonly words: string }[]): string {
  return `Failed of judged. ${rows.map(({ name, words }) => `${name}: ${words}`).join("; ")}.`;
}
