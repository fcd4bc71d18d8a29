import { expect, test } from "vitest";
import { PathReasoner } from "../../../workbench/diagnosis/path-reasoner.js";
import { restrictionsOf } from "../../../workbench/diagnosis/restrictions.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";

const plan = bundledPlan("cordless-brushed");

function result(step: string, value: number, verdict: StepResult["verdict"]): StepResult {
  return {
    event: "step",
    step,
    verdict,
    value,
    overload: false,
    unit: "V",
    resolution: 0.01,
    uncertainty: 0.05,
    k: 2,
    limits: null,
    rule: null,
    risk: null,
    doubt: null,
    polarity: "as-marked",
    zero: null,
    started_s: 0,
    ended_s: 1,
    details: {},
    reason: null,
  };
}

function nextOf(of: Plan, results: readonly StepResult[]): string {
  const reasoner = new PathReasoner(of, { cells: 5 });
  for (const one of results) reasoner.take(one);
  return reasoner.path().next?.words ?? "";
}

const charger = result("charger-output", 21, "pass");

test("a pack that its caution warns of is neither loaded nor charged nor measured again", () => {
  const flat = nextOf(plan, [charger, result("pack-open", 14.8, "fail")]);
  expect(flat, "a flat pack is loaded to see what it carries").toMatch(/pack|load/i);
  const deep = nextOf(plan, [charger, result("pack-open", 6.1, "fail")]);
  expect(deep).not.toBe("");
  expect(deep).not.toMatch(/pack plus|pack in the tool|on a load|pack on it/i);
});

test("a plan without a powered step is not proposed one", () => {
  const dead: Plan = {
    ...plan,
    steps: plan.steps.filter(
      (step) =>
        !(step.kind === "measure" && step.condition.pack === "in") &&
        !(step.kind === "do" && step.sets.pack === "in"),
    ),
  };
  const ohms = ["lead-red", "lead-black", "switch-minus", "motor-sweep", "switch-works"].map(
    (id) => ({
      ...result(id, 0.4, "pass"),
      unit: "Ω",
    }),
  );
  const taken = [charger, result("pack-open", 19.8, "pass"), ...ohms];
  const asked = (of: Plan): string[] => taken.map((_, n) => nextOf(of, taken.slice(0, n + 1)));
  expect(asked(plan).join("\n")).toMatch(/in the tool, trigger/i);
  expect(asked(dead).join("\n")).not.toMatch(/in the tool, trigger|feeds the motor/i);
});

test("a sound cell of a pack is no deeply discharged pack; a pack at a volt a cell is one", () => {
  const pack = bundledPlan("pack");
  const told = (step: string, value: number) =>
    restrictionsOf(pack, { cells: 5 }, new Map([[step, result(step, value, "pass")]])).damagedPack;
  expect(told("cell-1", 4.03)).toBe(false);
  expect(told("pack-open", 5)).toBe(true);
  expect(told("pack-open", 20.1)).toBe(false);
});
