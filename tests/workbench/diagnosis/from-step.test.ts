import { expect, test } from "vitest";
import { observationsOf } from "../../../workbench/diagnosis/from-step.js";
import { conditionSchema } from "../../../workbench/plan/schema.js";
import type { LookStep, MeasureStep } from "../../../workbench/plan/schema.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";
import { model } from "./bench.js";

const tool = model();

function step(more: Partial<MeasureStep>): MeasureStep {
  return {
    kind: "measure",
    id: "s",
    title: "S",
    instruction: "Measure.",
    cautions: [],
    needs: [],
    coupling: null,
    judged: "value",
    rule: "guarded",
    polarity: "either",
    zero: "prove",
    means: { pass: "sound", fail: "at fault" },
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
    doubt: null,
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
  expect(observationsOf(tool, step({}), result({}))[0]).toMatchObject({
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
  expect(observationsOf(tool, sag, result({ details }))[0]).toMatchObject({
    value: 18.9,
    condition: { trigger: "squeezed" },
  });
});

test("continuity with overload is an open circuit; a skipped step and an unknown point tell nothing", () => {
  const ohms = step({ quantity: "continuity", condition: conditionSchema.parse({}) });
  const open = result({ value: null, overload: true, unit: "Ω", zero: "proved" });
  expect(observationsOf(tool, ohms, open)[0]).toMatchObject({
    quantity: "resistance",
    value: null,
    proved: true,
  });
  const skipped = result({ verdict: "not-judged", reason: "no access", value: null });
  expect(observationsOf(tool, ohms, skipped)).toEqual([]);
  expect(observationsOf(tool, step({ red: "tap-3" }), result({}))).toEqual([]);
});

test("a worked switch is two readings: closed while squeezed, open when released", () => {
  const works = step({
    quantity: "resistance",
    red: "switch-in-plus",
    black: "switch-out-plus",
    condition: conditionSchema.parse({ trigger: "worked" }),
    watch: { kind: "change", window_s: 0.5, times: 1 },
  });
  const details = {
    squeezed: { value: 0.2, unit: "Ω" },
    released: { value: null, unit: "Ω" },
    interruptions: { value: 0, unit: "" },
  };
  const [closed, open] = observationsOf(tool, works, result({ value: 0.2, unit: "Ω", details }));
  expect(closed).toMatchObject({ value: 0.2, condition: { trigger: "squeezed" } });
  expect(open).toMatchObject({ value: null, condition: { trigger: "released" } });
});

test("a sweep that went open at some angles is unsteady and counts with its least value", () => {
  const sweep = step({
    quantity: "resistance",
    red: "brush-a",
    black: "brush-b",
    condition: conditionSchema.parse({}),
    watch: { kind: "sweep", duration_s: 12 },
  });
  const details = { least: { value: 0.6, unit: "Ω" }, greatest: { value: null, unit: "Ω" } };
  const swept = result({ value: null, overload: true, unit: "Ω", details });
  expect(observationsOf(tool, sweep, swept)[0]).toMatchObject({
    value: 0.6,
    unsteady: true,
    condition: { shaft: "turned-by-hand" },
  });
});

test("a look step that the model knows becomes something seen", () => {
  const look: LookStep = {
    kind: "look",
    id: "chuck-turn",
    title: "Chuck",
    instruction: "Turn the chuck.",
    cautions: [],
    needs: [],
    photo: false,
    choices: [
      { id: "free", label: "it turns freely", verdict: "pass" },
      { id: "stuck", label: "it does not turn", verdict: "fail" },
    ],
  };
  const seen = result({ verdict: "fail", value: null, reason: "seen: it does not turn" });
  expect(observationsOf(tool, look, seen)).toEqual([
    { kind: "seen", sighting: "shaft-turns-by-hand", value: "no" },
  ]);
});
