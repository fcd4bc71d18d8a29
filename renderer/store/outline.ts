import type { RunStatus, StepOutline } from "../../workbench/contract/events.js";

export function outlineOf(run: RunStatus | null, step: string): StepOutline | null {
  return run?.steps.find(({ id }) => id === step) ?? null;
}
