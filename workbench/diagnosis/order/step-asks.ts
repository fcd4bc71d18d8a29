import type { Access, BenchCondition, Sighting, ToolModel } from "../../models/model.js";
import type { MeasureStep, Step } from "../../plan/schema.js";
import { isForbidden, isLookForbidden, probeCost_s } from "../cost.js";
import type { Restrictions } from "../cost.js";
import { targetOf } from "../from-step.js";
import type { Ask } from "../next-probe.js";

/** A step of the plan as a question that the reasoning can weigh. */
export interface StepAsk {
  readonly step: Step;
  readonly ask: Ask;
  readonly condition: BenchCondition;
  /** Seconds of work, from the present state of the bench. */
  readonly cost_s: number;
  /** What was found forbids it. */
  readonly forbidden: boolean;
}

/** Where the bench is now: how far the tool is open, and under what was measured last. */
export interface BenchNow {
  readonly opened: Access;
  readonly last: BenchCondition | null;
  readonly restrictions: Restrictions;
  /** It proves the meter, and keeps its place whatever it would tell. */
  readonly onKnownSource: (step: MeasureStep) => boolean;
}

/** null: the model knows nothing of what the step asks, and cannot say what it would tell. */
export function stepAsk(model: ToolModel, step: Step, now: BenchNow): StepAsk | null {
  if (step.kind === "look") return lookAsk(model, step, now);
  if (step.kind !== "measure") return null;
  if (now.onKnownSource(step)) return null;
  const target = targetOf(model, step);
  // What a limit says in words is asked like a look.
  if (target === null || sightingOf(model, step)) return lookAsk(model, step, now);
  const { condition } = target;
  // Only a probe of the model's own list names one of its conditions.
  const probe = { ...target, condition: "" };
  const { opened, last, restrictions } = now;
  return {
    step,
    ask: { kind: "measure", probe, target },
    condition,
    cost_s: probeCost_s(model, probe, condition, opened, last),
    forbidden: isForbidden(probe, condition, opened, restrictions),
  };
}

function lookAsk(model: ToolModel, step: Step, now: BenchNow): StepAsk | null {
  const sighting = sightingOf(model, step);
  const named = model.conditions.find(({ id }) => id === sighting?.condition);
  if (sighting === undefined || named === undefined) return null;
  return {
    step,
    ask: { kind: "see", sighting },
    condition: named.condition,
    cost_s: sighting.cost_s,
    forbidden: isLookForbidden(named.condition, now.opened, now.restrictions),
  };
}

function sightingOf(model: ToolModel, { id }: Step): Sighting | undefined {
  return model.sightings.find(({ looks, readings = [] }) =>
    [...looks, ...readings].some(({ step }) => step === id),
  );
}
