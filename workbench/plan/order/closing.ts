import { AS_BOOKED_IN, FIELDS } from "../tool-state.js";
import type { StateField } from "../tool-state.js";
import type { Step } from "../schema.js";
import { isDone, nearestDoer } from "./set-up.js";
import type { Progress } from "./set-up.js";

/** Whether a step does nothing but put the tool back as it was booked in. */
export function bringsBack(step: Step): boolean {
  if (step.kind !== "do" || step.removes !== undefined) return false;
  const fields = FIELDS.filter((field) => step.sets[field] !== undefined);
  const putsBack = (step.putsBack ?? []).length > 0;
  if (fields.length === 0) return putsBack;
  return fields.every((field) => step.sets[field] === AS_BOOKED_IN[field]);
}

/**
 * The next step that puts the tool back: power off, what came off back on, the case closed; null
 * where nothing is to be done. One that was done before the tool was fed once more is taken again.
 */
export function nextToClose(progress: Progress): Step | null {
  const { plan, results, state } = progress;
  const restoring = (field: StateField): Step | null =>
    state[field] === AS_BOOKED_IN[field] ? null : nearestDoer(progress, field, AS_BOOKED_IN[field]);
  const cameOff = (id: string): boolean => isDone(results.get(id));
  const puttingBack = plan.steps.find(
    (step) => step.kind === "do" && !results.has(step.id) && (step.putsBack ?? []).some(cameOff),
  );
  const fields = ["pack", "charger", "mains", "motor"] as const;
  const first = fields.map(restoring).find((step) => step !== null);
  return first ?? puttingBack ?? restoring("case");
}
