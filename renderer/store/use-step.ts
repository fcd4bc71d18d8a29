import type { StepOutline } from "../../workbench/contract/events.js";
import { useBenchSlice } from "./bench-context.js";
import { outlineOf } from "./outline.js";

/** The outline of the step that is running now. */
export function useStepOutline(): StepOutline | null {
  return useBenchSlice(({ run, step }) => (step === null ? null : outlineOf(run, step.id)));
}
