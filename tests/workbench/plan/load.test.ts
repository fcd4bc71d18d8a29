import { describe, expect, it } from "vitest";
import { LeadhandError } from "../../../protocols/error.js";
import { loadPlan } from "../../../workbench/plan/load.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";
import { outlineOf } from "../../../workbench/plan/outline.js";

type Loose = Record<string, unknown> & { steps: Record<string, unknown>[] };

function changed(change: (plan: Loose) => void): string {
  const plan = JSON.parse(JSON.stringify(bundledPlan("cordless-brushed"))) as Loose;
  change(plan);
  return JSON.stringify(plan);
}

/** Places of two measuring steps: the proof of the meter, and the pack out of the tool. */
const [PROOF, OPEN] = [1, 6];

function refusal(text: string): LeadhandError {
  try {
    loadPlan(text, "mine.json");
  } catch (thrown) {
    expect(thrown).toBeInstanceOf(LeadhandError);
    return thrown as LeadhandError;
  }
  throw new Error("the plan was accepted");
}

describe("loading a plan", () => {
  it("reads what it writes", () => {
    const plan = bundledPlan("cordless-brushed");
    expect(loadPlan(`\uFEFF${JSON.stringify(plan)}`, "mine.json")).toEqual(plan);
  });

  it.each([
    ["{", "plan/not-json", ["mine.json", "position 1"]],
    [changed((p) => (p["version"] = 2)), "plan/version", ["version 2", "$.version"]],
    [changed((p) => (p["format"] = "other")), "plan/shape", ["$.format", '"leadhand-plan"']],
    [changed((p) => delete p.steps[PROOF]!["red"]), "plan/shape", ["$.steps[1].red", "string"]],
    [
      changed((p) => (p.steps[PROOF]!["wrong"] = 1)),
      "plan/shape",
      ["$.steps[1]", "wrong is not a field"],
    ],
    [
      changed((p) => (p.steps[PROOF]!["kind"] = "guess")),
      "plan/shape",
      ["$.steps[1].kind", "kind"],
    ],
    [
      changed((p) => (p.steps[PROOF]!["limits"] = { low: true, source: "x" })),
      "plan/shape",
      ["$.steps[1].limits.low", "number or a formula"],
    ],
    [
      changed((p) => (p.steps[PROOF]!["red"] = "known-pluss")),
      "plan/name",
      ["$.steps[1].red", '"known-plus"'],
    ],
    [changed((p) => (p.steps[2]!["id"] = "meter-proof")), "plan/name", ["$.steps[2].id", "twice"]],
    [
      changed((p) => (p.steps[OPEN]!["limits"] = { low: "cels * 3", source: "x" })),
      "plan/name",
      ["$.steps[6].limits.low", '"cells"'],
    ],
    [
      changed((p) => (p.steps[OPEN]!["limits"] = { low: "cells *", source: "x" })),
      "plan/formula",
      ["$.steps[6].limits.low", "arithmetic"],
    ],
    [
      changed((p) => (p.steps[OPEN]!["limits"] = { low: 'result("pack-rest")', source: "x" })),
      "plan/name",
      ["$.steps[6].limits.low", "later"],
    ],
    [
      changed((p) => (p.steps[OPEN]!["needs"] = [{ step: "nowhere", verdict: "any" }])),
      "plan/name",
      ["$.steps[6].needs[0].step", "nowhere"],
    ],
    ["null", "plan/shape", ["$", "object"]],
  ] as const)("%# refuses with file, path and what is expected: %s", (text, code, words) => {
    const error = refusal(text);
    expect(error.code).toBe(code);
    for (const word of ["mine.json", ...words]) expect(error.message).toContain(word);
  });

  it("says which bundled plans there are", () => {
    expect(() => bundledPlan("toaster")).toThrow(/cordless-brushed.*\[plan\/unknown\]/);
  });
});

describe("bundled plans", () => {
  it.each(bundledPlans().map((plan) => [plan.id, plan] as const))("%s is whole", (id, plan) => {
    expect(plan.id).toBe(id);
    for (const step of plan.steps) {
      if (step.kind !== "measure") continue;
      expect(step.limits?.source, step.id).toBeTruthy();
      if (["resistance", "continuity", "diode"].includes(step.quantity)) {
        expect(step.condition.pack, step.id).toBe("out");
        expect(step.cautions, step.id).toContain("power-off-for-ohms");
      }
    }
  });

  it("is shown with labels and cautions in words", () => {
    const outline = outlineOf(bundledPlan("cordless-brushed"));
    const open = outline.find(({ id }) => id === "pack-open");
    expect(open).toMatchObject({ red: "pack plus", black: "pack minus", unit: "V" });
    expect(open!.cautions[0]!.words).toContain("hundreds of amperes");
  });
});
