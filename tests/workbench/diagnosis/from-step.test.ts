import { expect, test } from "vitest";
import { observationOf } from "../../../workbench/diagnosis/from-step.js";
import { conditionSchema } from "../../../workbench/plan/schema.js";
import type { MeasureStep } from "../../../workbench/plan/schema.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";
import { model } from "./bench.js";

const tool = model();

function step(more: Partial<MeasureStep>): Parameters<typeof observationOf>[1] {
  return {
    quantity: "voltage",
    red: "pack-plus",
    black: "pack-minus",
    condition: conditionSchema.parse({ pack: "in" }),
    watch: { kind: "settle", window_s: 1, counts: 3 },
    ...more,
  };
}

function result(more: Partial<StepResult>): StepResult {
  return {
    event: "step",
    step: "s",
    verdict: "pass",
    value: 19.8,
    overload: false,
    unit: "V",
    resolution: 0.01,
    uncertainty: 0.06,
    k: 2,
    limits: null,
    rule: "guarded",
    risk: null,
    polarity: "as-marked",
    zero: null,
    started_s: 0,
    ended_s: 1,
    details: {},
    reason: null,
    ...more,
  };
}

test("a held voltage keeps value, points, condition and the meter's standard uncertainty", () => {
  expect(observationOf(tool, step({}), result({}))).toMatchObject({
    quantity: "voltage",
    value: 19.8,
    u: 0.03,
    red: "pack-plus",
    condition: { pack: "in", trigger: "released" },
  });
});

test("a sag is a reading under load: its plateau with the trigger squeezed", () => {
  const sag = step({ watch: { kind: "sag", edge: 0.02, hold_s: 1.5 } });
  const details = { plateau: { value: 18.9, unit: "V" } };
  expect(observationOf(tool, sag, result({ details }))).toMatchObject({
    value: 18.9,
    condition: { trigger: "squeezed" },
  });
});

test("continuity with overload is an open circuit; a skipped step and an unknown point tell nothing", () => {
  const ohms = step({ quantity: "continuity", condition: conditionSchema.parse({}) });
  const open = result({ value: null, overload: true, unit: "Ω", zero: "proved" });
  expect(observationOf(tool, ohms, open)).toMatchObject({
    quantity: "resistance",
    value: null,
    proved: true,
  });
  const skipped = result({ verdict: "not-judged", reason: "no access", value: null });
  expect(observationOf(tool, ohms, skipped)).toBeNull();
  expect(observationOf(tool, step({ red: "tap-3" }), result({}))).toBeNull();
});
