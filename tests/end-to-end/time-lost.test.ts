import { describe, expect, it } from "vitest";
import type { TimedReading } from "../../protocols/reading.js";
import type { MeasureStep } from "../../workbench/plan/schema.js";
import type { StepResult } from "../../workbench/plan/step-result.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { practiceRun } from "../workbench/plan/practice-run.js";

const plan = bundledPlan("cordless-brushed");

/** From the first reading that stays within the step's counts to the verdict, seconds. */
function lost_s(step: MeasureStep, result: StepResult, readings: readonly TimedReading[]): number {
  const counts = step.watch.kind === "settle" ? step.watch.counts : 0;
  const { value, ended_s } = result;
  let since_s = ended_s;
  for (const reading of readings.filter(({ time_s }) => time_s <= ended_s).reverse()) {
    const margin = counts * (reading.resolution ?? 0);
    if (reading.value === null || Math.abs(Math.abs(reading.value) - (value ?? 0)) > margin) break;
    since_s = reading.time_s;
  }
  return ended_s - since_s;
}

const median = (values: readonly number[]) =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

describe("time lost per step beyond the meter's own settling", () => {
  it("is under 1.5 s in the median of three whole runs", async () => {
    const all: number[] = [];
    for (const seed of [11, 12, 13]) {
      const run = await practiceRun({ plan, faults: [], seed });
      for (const step of plan.steps) {
        const result = run.results.get(step.id);
        if (step.kind !== "measure" || step.watch.kind !== "settle" || !result) continue;
        all.push(lost_s(step, result, run.readings));
      }
    }
    const [middle, worst] = [median(all), Math.max(...all)];
    console.log(
      `time lost per step: median ${middle.toFixed(2)} s, worst ${worst.toFixed(2)} s, ${all.length} steps`,
    );
    expect(all.length).toBeGreaterThan(30);
    expect(middle).toBeLessThan(1.5);
  });
});
