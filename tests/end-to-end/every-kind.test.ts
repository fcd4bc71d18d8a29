import { describe, expect, it } from "vitest";
import { practiceKind } from "../../drivers/practice/kinds.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { practiceRun } from "../workbench/plan/practice-run.js";
import { SHOWS, stepsWith, wronglyFailed } from "./shows.js";

/** Every bundled plan on the practice bench, the simulated hand alone: no key, no click. */
describe.each(Object.entries(SHOWS))("the bundled plan %s on the practice bench", (kind, shows) => {
  const plan = bundledPlan(kind);
  const run = (faults: readonly string[], seed: number) =>
    practiceRun({ plan, faults, seed, limit_s: 1500 });

  it("is told what every fault of its kind has to show", () => {
    const faults = practiceKind(kind).faults.map(({ id }) => id);
    expect(Object.keys(shows).sort()).toEqual([...faults].sort());
  });

  it("has only points that the simulated tool has", () => {
    expect(practiceKind(kind).points).toEqual(expect.arrayContaining(plan.points.map((p) => p.id)));
  });

  it.each([1, 2, 3])("ends without a fail for a healthy one, seed %i", async (seed) => {
    const done = await run([], seed);
    expect(done.finished).toBe(true);
    expect(stepsWith(done, "fail")).toEqual([]);
  });

  it.each(Object.entries(shows))("%s: ends, and shows it", async (fault, steps) => {
    const done = await run([fault], 3);
    expect(done.finished).toBe(true);
    // Borderline shows it too: a meter of half a percent may not settle the last tenth of a volt.
    expect(stepsWith(done, "fail", "borderline")).toEqual(expect.arrayContaining([...steps]));
    expect(stepsWith(done, "fail")).not.toEqual([]);
    expect(wronglyFailed(done, kind, steps)).toEqual([]);
  });

  it.each(Object.keys(shows))(
    "%s: no step passes on a voltage that is not there",
    async (fault) => {
      const done = await run([fault], 5);
      for (const step of plan.steps) {
        const result = done.results.get(step.id);
        if (step.kind !== "measure" || step.quantity !== "voltage") continue;
        // Logic supplies and signals are low by nature.
        if (step.limits?.low === undefined || result?.verdict !== "pass") continue;
        // A sensor that is low is one of two levels; beside the other two it may be right.
        if ((result.limits?.low ?? 0) <= 0) continue;
        expect(result.value, step.id).toBeGreaterThan(0.5);
      }
    },
  );
});
