import { describe, expect, it } from "vitest";
import { resolveLimits, formulaScope } from "../../../workbench/plan/limits.js";
import { plainResult } from "../../../workbench/plan/step-results.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";

/** The limits of a bundled step with these tool data and earlier results. */
function limits(
  planId: string,
  stepId: string,
  data: Record<string, number>,
  results: Record<string, number> = {},
) {
  const plan = bundledPlan(planId);
  const step = plan.steps.find(({ id }) => id === stepId);
  if (step?.kind !== "measure") throw new Error(`${stepId} does not measure`);
  const span = { started_s: 0, ended_s: 0 };
  const earlier = Object.entries(results).map(
    ([id, value]) => [id, { ...plainResult(id, "pass", "", span), value }] as const,
  );
  const resolved = resolveLimits(step, formulaScope(data, new Map(earlier)));
  expect(resolved.reason).toBeNull();
  return resolved.limits!;
}

describe("limits of bundled plans against published figures", () => {
  // VDE 0701-0702:2008-06, kept by EN 50699:2020 (from memory): 0.3 Ω up to 5 m, 0.1 Ω more for each
  // further 7.5 m, at most 1.0 Ω. Between those lengths the plan is the stricter straight line.
  it.each([
    [3, 0.3],
    [5, 0.3],
    [12.5, 0.4],
    [20, 0.5],
    [57.5, 1],
    [100, 1],
  ])("protective conductor with %f m of cord: at most %f Ω", (cord_m, ohm) => {
    const found = limits("corded-universal", "earth", { cord_m, testLeads_ohm: 0 });
    expect(found.high).toBeCloseTo(ohm, 12);
  });

  // Same source: insulation of class II at least 2 MΩ, class I at least 1 MΩ.
  it("insulation: the tool's data name the class, class II unless told otherwise", () => {
    const { insulation_ohm } = bundledPlan("corded-universal").tool.data;
    expect(insulation_ohm!.default).toBe(2e6);
    expect(limits("corded-universal", "insulation", { insulation_ohm: 1e6 }).low).toBe(1e6);
  });

  // Serway and Jewett, worked example of a battery with internal resistance: 12.0 V, 0.050 Ω, load
  // 3.00 Ω: terminal voltage 11.8 V (from memory).
  it("pack on a known load: the terminal voltage of a textbook battery", () => {
    const data = { load_ohm: 3, cells: 1, cellResistance_ohm: 0.05 };
    expect(limits("pack", "pack-load", data, { "pack-ready": 12 }).low).toBeCloseTo(11.8, 1);
  });

  // Beta equation R = R25·exp(B·(1/T − 1/298.15 K)); of the usual betas 3380 K to 4250 K the
  // steepest sets the limits, with 5 % of tolerance, at 35 °C and 10 °C.
  it("thermistor: from 35 °C down to 10 °C by the beta equation, whatever its beta", () => {
    const ntc = (beta: number, celsius: number) =>
      10e3 * Math.exp(beta * (1 / (celsius + 273.15) - 1 / 298.15));
    const { low, high } = limits("pack", "thermistor", { thermistor_ohm: 10e3 });
    expect(low! / (0.95 * ntc(4250, 35))).toBeCloseTo(1, 1);
    expect(high! / (1.05 * ntc(4250, 10))).toBeCloseTo(1, 1);
    for (const beta of [3380, 3435, 3950, 4250])
      for (const celsius of [10.5, 20, 25, 34])
        for (const share of [0.95, 1.05]) {
          expect(ntc(beta, celsius) * share).toBeGreaterThan(low!);
          expect(ntc(beta, celsius) * share).toBeLessThan(high!);
        }
    // A bridged or broken one is far beyond either.
    expect(low).toBeGreaterThan(1000);
    expect(high).toBeLessThan(100e3);
  });

  // IEC 62133-2:2017: upper limit charging voltage 4.25 V a cell (from memory).
  it("no pack may show more than the upper limit charging voltage of its cells", () => {
    expect(limits("cordless-brushed", "pack-open", { cells: 5 }).high).toBeCloseTo(5 * 4.25, 9);
  });

  it("names a source, or says that there is none, for every limit", () => {
    for (const plan of bundledPlans())
      for (const step of plan.steps)
        if (step.kind === "measure" && step.limits)
          expect(step.limits.source, `${plan.id} ${step.id}`).toMatch(
            /common practice, no source|EN |IEC |NFPA|equation/,
          );
  });
});
