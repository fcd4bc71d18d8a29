import { describe, expect, it } from "vitest";
import { observationsOf } from "../../../workbench/diagnosis/from-step.js";
import type { Measured } from "../../../workbench/diagnosis/observation.js";
import { predictorOf } from "../../../workbench/diagnosis/power-path.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";
import { practiceRun } from "../plan/practice-run.js";
import { model } from "./bench.js";

/**
 * The practice bench and the reasoning may not import each other's figures: what the one draws and
 * the other expects of a sound tool is held together here.
 */
const kind = "cordless-brushed";
const plan = bundledPlan(kind);
const tool = model(kind, { cells: 5, charger: "always-live" });
const predictor = predictorOf(tool);
const [sound] = predictor.singles;

async function healthy(seed: number): Promise<Map<string, Measured>> {
  const { results } = await practiceRun({ plan, faults: [], seed });
  return new Map(
    plan.steps.flatMap((step) => {
      const result = results.get(step.id);
      const [first] = result === undefined ? [] : observationsOf(tool, step, result);
      return first?.kind === "measured" ? [[step.id, first] as const] : [];
    }),
  );
}

function expected(measured: Measured | undefined): number {
  if (measured === undefined || sound === undefined) throw new Error("not measured");
  return predictor.predict(measured, sound).mean;
}

describe.each([1, 2, 3])("a sound drill of the practice bench, seed %i", (seed) => {
  it("sags as the reasoning expects of one", async () => {
    const readings = await healthy(seed);
    const drop = (of: (id: string) => number) => of("pack-rest") - of("pack-sag");
    const drawn = drop((id) => readings.get(id)?.value ?? Number.NaN);
    const told = drop((id) => expected(readings.get(id)));
    // Like parts differ by a few hundredths here; the model's own spread is far wider.
    expect(Math.abs(drawn / told - 1)).toBeLessThan(0.25);
  }, 60_000);
});
