import { AS_BOOKED_IN, FIELDS } from "../tool-state.js";
import type { StateField } from "../tool-state.js";
import type { Plan, Step } from "../schema.js";
import { isOff, nearestDoer } from "./set-up.js";
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
 * The next step that puts the tool back: power off, then what came off back on as the plan has it;
 * null where nothing is to be done. One that was done before the tool was fed or opened once more is
 * taken again.
 */
export function nextToClose(progress: Progress): Step | null {
  const off = (["pack", "charger", "mains"] as const).map((field) => restoring(progress, field));
  return off.find((step) => step !== null) ?? nextBackOn(progress);
}

/** Nothing is off the tool or open: it may have power on it. */
export function isTogether(progress: Progress): boolean {
  return nextBackOn(progress) === null;
}

function nextBackOn(progress: Progress): Step | null {
  const { plan, results, state } = progress;
  const isBack = (id: string): boolean => {
    const removal = plan.steps.find((step) => step.id === id);
    return removal === undefined || !isOff(progress, removal);
  };
  const closes = (step: Step): boolean =>
    step.kind === "do" && !results.has(step.id) && (step.putsBack ?? []).some((id) => !isBack(id));
  const motorIn = state.case === "motor-out" ? restoring(progress, "case", "open") : null;
  const needed = [motorIn, restoring(progress, "motor"), restoring(progress, "case")];
  return plan.steps.find((step) => closes(step) || needed.includes(step)) ?? null;
}

function restoring(
  progress: Progress,
  field: StateField,
  value: string = AS_BOOKED_IN[field],
): Step | null {
  return progress.state[field] === AS_BOOKED_IN[field] ? null : nearestDoer(progress, field, value);
}

/** Whether the plan has closed the tool before this step: it is tried once more, as a whole. */
export function isAfterClosing({ steps }: Plan, step: Step): boolean {
  return steps
    .slice(0, steps.indexOf(step))
    .some((each) => each.kind === "do" && each.sets.case === "closed");
}
