import { describe, expect, it } from "vitest";
import { checkPlan, isRefused } from "../../../workbench/plan/check.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";
import { parsePlan } from "../../../workbench/plan/load.js";
import type { Plan, PlanInput } from "../../../workbench/plan/schema.js";
import { doStep, measure, planOf } from "./bench.js";
import type { StepInput } from "./bench.js";

const known = { red: "known-plus", black: "known-minus" };
const proof = measure("proof", known);
const ohms = (id: string, more: Partial<Extract<StepInput, { kind: "measure" }>> = {}) =>
  measure(id, {
    quantity: "resistance",
    coupling: null,
    red: "brush-a",
    black: "brush-b",
    cautions: ["power-off-for-ohms"],
    ...more,
  });
const packIn = doStep("pack-in", { sets: { pack: "in" }, cautions: ["moving-tool"] });
const packOut = doStep("pack-out", { sets: { pack: "out" } });
/** The kind of the bundled plan, so that points can be looked up on a power path. */
const plan = (...steps: StepInput[]): Plan =>
  planOf([proof, ...steps], { tool: { kind: "cordless-brushed", data: {} } });
const codes = (checked: Plan) => checkPlan(checked).map(({ code, path }) => `${code} ${path}`);

describe("the checker refuses", () => {
  it.each<[string, Plan, string]>([
    [
      "ohms on what an earlier step left powered",
      plan(packIn, ohms("ohms", { condition: { pack: "out" } })),
      "powered-ohms $.steps[2].condition",
    ],
    [
      "ohms under a condition that is itself powered",
      plan(packIn, ohms("ohms", { condition: { pack: "in" } })),
      "powered-ohms $.steps[2].condition",
    ],
    [
      "ohms after a pack-out that may have been skipped",
      plan(packIn, { ...packOut, needs: [{ step: "proof", verdict: "any" }] }, ohms("ohms")),
      "powered-ohms $.steps[3].condition",
    ],
    [
      "diode test with the charger plugged in",
      plan(
        doStep("charger", { sets: { charger: "plugged" }, cautions: ["mains"] }),
        ohms("diode", { quantity: "diode", condition: { charger: "plugged" } }),
      ),
      "powered-ohms $.steps[2].condition",
    ],
    [
      "ohms across the pack",
      plan(ohms("ohms", { red: "pack-plus", black: "pack-minus" })),
      "ohms-across-source $.steps[1]",
    ],
    [
      "an ammeter across a part",
      plan(measure("amps", { quantity: "current", red: "pack-plus", black: "pack-minus" })),
      "ammeter-across $.steps[1]",
    ],
    [
      "mains without its caution",
      plan(doStep("mains", { sets: { mains: "plugged" } })),
      "caution-missing $.steps[1].cautions",
    ],
    [
      "a worked trigger under power without its caution",
      plan(packIn, measure("run", { condition: { pack: "in", trigger: "squeezed" } })),
      "caution-missing $.steps[2].cautions",
    ],
    [
      "ohms without their caution",
      plan(ohms("ohms", { cautions: [] })),
      "caution-missing $.steps[1].cautions",
    ],
    [
      "a condition that nothing sets up",
      plan(measure("inside", { condition: { case: "open" } })),
      "condition-not-set $.steps[1].condition.case",
    ],
    [
      "a step that waits for what never comes",
      plan(measure("never", { needs: [{ step: "proof", verdict: "fail" }] })),
      "unreachable $.steps[1].needs",
    ],
    [
      "both probes on one point",
      plan(measure("same", { red: "brush-a", black: "brush-a" })),
      "same-point $.steps[1]",
    ],
    [
      "a sag without the trigger",
      plan(measure("sag", { watch: { kind: "sag" } })),
      "watch-condition $.steps[1].condition",
    ],
    [
      "a detail that the watch does not give",
      plan(measure("floor", { judged: "floor" })),
      "judged-unknown $.steps[1].judged",
    ],
    [
      "limits that cross",
      plan(measure("x", { limits: { low: 20, high: 10, source: "x" } })),
      "limits-crossed $.steps[1].limits",
    ],
    [
      "limits within the meter's uncertainty",
      plan(measure("x", { limits: { low: 17.99, high: 18.01, source: "x" } })),
      "limit-too-tight $.steps[1].limits",
    ],
    [
      "a limit below one count of the meter",
      plan(ohms("x", { limits: { high: 0.05, source: "x" } })),
      "limit-too-tight $.steps[1].limits",
    ],
  ])("%s", (_name, checked, expected) => {
    expect(codes(checked)).toContain(expected);
    expect(isRefused(checkPlan(checked))).toBe(true);
  });

  it("a point that is not on the power path of this kind of tool", () => {
    const input = JSON.parse(JSON.stringify(bundledPlan("cordless-brushed"))) as PlanInput;
    const at = input.points.length;
    input.points.push({ id: "heat-sink", label: "heat sink", part: "radiator" });
    const checked = parsePlan(input, "x");
    expect(codes(checked)).toContain(`off-path $.points[${at}].id`);
    expect(isRefused(checkPlan(checked))).toBe(true);
  });

  it("refuses a point that is not on the power path, unless the plan says that it is a further one", () => {
    const withPoint = (point: PlanInput["points"][number]) => {
      const input = JSON.parse(JSON.stringify(bundledPlan("cordless-brushed"))) as PlanInput;
      return codes(parsePlan({ ...input, points: [...input.points, point] }, "x"));
    };
    const at = bundledPlan("cordless-brushed").points.length;
    const sink = { id: "heat-sink", label: "heat sink", part: "switch" };
    expect(withPoint(sink)).toEqual([`off-path $.points[${at}].id`]);
    expect(withPoint({ ...sink, aside: true })).toEqual([]);
    // Of a part that the tool does not have, nothing can be a further point.
    expect(withPoint({ ...sink, part: "gearbox", aside: true })).toEqual([
      `off-path $.points[${at}].id`,
    ]);
  });
});

describe("the checker lets pass", () => {
  it.each(bundledPlans().map((each) => [each.id, each] as const))(
    "the bundled plan %s, without a word about hazards or mistakes",
    (_id, checked) => {
      expect(checkPlan(checked).filter(({ level }) => level === "error")).toEqual([]);
    },
  );

  it("a well-ordered plan, with a warning where the meter is hardly good enough", () => {
    const tight = { low: 17.7, high: 18.3, source: "x" };
    const checked = plan(measure("volts", { limits: tight, cautions: ["pack"] }), ohms("ohms"));
    expect(codes(checked)).toEqual(["limit-needs-better-meter $.steps[1].limits"]);
    expect(isRefused(checkPlan(checked))).toBe(false);
    const lines = [
      {
        quantity: "voltage",
        coupling: null,
        resolution: null,
        upTo: null,
        percentOfReading: 0.01,
        counts: 2,
      },
    ] as const;
    const accuracy = {
      meter: "bench meter",
      calibrated: null,
      valid_months: 12,
      temperature_degC: { low: 18, high: 28 },
      temperatureCoefficient: 0.1,
      lines: [...lines],
    };
    expect(checkPlan(checked, { accuracy, counts: 100_000 })).toEqual([]);
  });
});
