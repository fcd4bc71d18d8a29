import type { RunStatus, StepOutline } from "../../workbench/contract/events.js";
import { useBenchSlice } from "./bench-context.js";

export function outlineOf(run: RunStatus | null, step: string): StepOutline | null {
  return run?.steps.find(({ id }) => id === step) ?? null;
}

/** The outline of the step that is running now. */
export function useStepOutline(): StepOutline | null {
  return useBenchSlice(({ run, step }) => (step === null ? null : outlineOf(run, step.id)));
}
