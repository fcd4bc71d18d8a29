import type { Plan, Step } from "../plan/schema.js";
import type { StepResult } from "../plan/step-result.js";
import type { Restrictions } from "./cost.js";

const POLES = ["pack-plus", "pack-minus"];

/** Between these a cell is deeply discharged; below the first its protection may only have shut it off. */
const DEEP_V_PER_CELL = { above: 0.1, below: 2 };

/**
 * What must not be proposed, from the plan's own cautions and what was found under them. The plan
 * decides how far its tool is powered: what none of its steps does, with its cautions before it, is
 * not proposed beside it either.
 */
export function restrictionsOf(
  plan: Plan,
  data: Readonly<Record<string, number>>,
  results: ReadonlyMap<string, StepResult>,
): Restrictions {
  return {
    noPower: !plan.steps.some(isFed),
    noMains: !plan.steps.some(isOnMains),
    noCharging: !plan.steps.some(isCharging),
    noDirectFeed: !plan.steps.some(isFedDirectly),
    damagedPack: plan.steps.some((step) => tellsDamage(step, data, results.get(step.id))),
  };
}

function isFed(step: Step): boolean {
  if (step.kind === "measure") return step.condition.pack === "in";
  return step.kind === "do" && step.sets.pack === "in";
}

function isFedDirectly(step: Step): boolean {
  return step.kind === "measure" && step.condition.pack === "at-motor";
}

function isOnMains(step: Step): boolean {
  if (!step.cautions.includes("mains")) return false;
  if (step.kind === "measure") return step.condition.mains === "plugged";
  return step.kind === "do" && step.sets.mains === "plugged";
}

function isCharging(step: Step): boolean {
  if (step.kind === "measure") return step.condition.charger === "plugged";
  return step.kind === "do" && step.sets.charger === "plugged";
}

/** The caution about damaged lithium packs stands before this step, and what it warns of was found. */
function tellsDamage(
  step: Step,
  data: Readonly<Record<string, number>>,
  result: StepResult | undefined,
): boolean {
  if (result === undefined || !step.cautions.includes("lithium-damaged")) return false;
  if (step.kind === "look") return result.verdict === "fail";
  const cells = data["cells"];
  if (step.kind !== "measure" || step.quantity !== "voltage" || cells === undefined) return false;
  // One cell of five has a fifth of the voltage of all and is not deeply discharged for that.
  if (![step.red, step.black].every((point) => POLES.includes(point))) return false;
  const each_V = Math.abs(result.value ?? 0) / cells;
  return each_V > DEEP_V_PER_CELL.above && each_V < DEEP_V_PER_CELL.below;
}
