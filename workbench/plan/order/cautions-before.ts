import { stateNeeded } from "../tool-state.js";
import type { ToolState } from "../tool-state.js";
import type { CautionKind, Plan, Step } from "../schema.js";
import { setsState } from "./set-up.js";

/**
 * What a step is begun with: its own cautions and, where the tool has to be brought into another
 * state for it, those of the plan's steps that do so.
 */
export function cautionsBefore(plan: Plan, step: Step, state: ToolState): CautionKind[] {
  const others = stateNeeded(step, state).flatMap(([field, value]) =>
    plan.steps.filter((each) => setsState(each, field, value)).flatMap(({ cautions }) => cautions),
  );
  return [...new Set([...step.cautions, ...others])];
}
