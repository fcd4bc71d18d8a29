import type { BenchCondition, ToolModel } from "../models/model.js";
import type { MeasureStep } from "../plan/schema.js";
import type { StepResult } from "../plan/step-result.js";
import type { Measured } from "./observation.js";

type Step = Pick<MeasureStep, "quantity" | "red" | "black" | "condition" | "watch">;

/**
 * A finished measuring step as an observation of the tool; null where it tells the reasoning
 * nothing (skipped, a quantity or point that the model does not know).
 */
export function observationOf(model: ToolModel, step: Step, result: StepResult): Measured | null {
  const quantity = quantityOf(step.quantity);
  const known = (id: string): boolean => model.points.some((point) => point.id === id);
  if (quantity === null || !known(step.red) || !known(step.black)) return null;
  if (result.verdict === "not-judged" && result.reason !== null) return null;
  const value = valueOf(result);
  if (value === null && result.overload === false) return null;
  if (value === null && quantity === "voltage") return null;
  return {
    kind: "measured",
    quantity,
    red: step.red,
    black: step.black,
    condition: conditionOf(step),
    value,
    u: result.uncertainty === null ? null : result.uncertainty / (result.k ?? 2),
    proved: result.zero === "proved",
    unsteady: unsteadyOf(step, result),
  };
}

function quantityOf(quantity: MeasureStep["quantity"]): Measured["quantity"] | null {
  if (quantity === "voltage") return "voltage";
  return quantity === "resistance" || quantity === "continuity" ? "resistance" : null;
}

/** A sag's loaded plateau is what the model predicts; its floor is the inrush of a motor starting. */
function valueOf(result: StepResult): number | null {
  return result.details["plateau"]?.value ?? result.value;
}

/** A sag is read while the trigger is held although the step begins with it released. */
function conditionOf({ condition, watch }: Step): BenchCondition {
  if (watch.kind === "sag" || watch.kind === "change") return { ...condition, trigger: "squeezed" };
  if (watch.kind === "sweep") return { ...condition, shaft: "turned-by-hand" };
  return condition;
}

/** A sweep that went over range although its least value is a closed circuit: contact was lost. */
function unsteadyOf({ watch }: Step, result: StepResult): boolean | null {
  if (watch.kind !== "sweep") return null;
  const [least, greatest] = [result.details["least"]?.value, result.details["greatest"]?.value];
  if (least === null || least === undefined) return null;
  if (greatest === null || greatest === undefined) return result.overload !== false;
  return greatest > 3 * least + 2;
}
