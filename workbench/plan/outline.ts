import type { StepOutline } from "../contract/events.js";
import { unitOf } from "../../protocols/reading.js";
import { pointLabel } from "../spoken/prompts.js";
import { cautionWords } from "./cautions.js";
import type { Plan, Step } from "./schema.js";

/** The plan as the window shows it: points by their labels, cautions in words. */
export function outlineOf(plan: Plan): StepOutline[] {
  return plan.steps.map((step) => ({
    id: step.id,
    kind: step.kind,
    title: step.title,
    instruction: step.instruction,
    red: step.kind === "measure" ? pointLabel(plan, step.red) : null,
    black: step.kind === "measure" ? pointLabel(plan, step.black) : null,
    cautions: step.cautions.map((kind) => ({ kind, words: cautionWords(kind) })),
    quantity: step.kind === "measure" ? step.quantity : null,
    coupling: step.kind === "measure" ? step.coupling : null,
    unit: stepUnit(step),
    means: step.kind === "measure" ? step.means : null,
    removes: step.kind === "do" ? removesOf(step) : null,
    closing: step.kind === "do" && (step.putsBack?.length ?? 0) > 0,
    choices: step.kind === "look" ? step.choices.map(({ id, label }) => ({ id, label })) : [],
  }));
}

function removesOf({ removes }: Extract<Step, { kind: "do" }>): StepOutline["removes"] {
  return removes ? { ...removes, fastenerKind: removes.fastenerKind ?? "" } : null;
}

/** The unit of the value that a step judges; "" for steps without one. */
export function stepUnit(step: Step): string {
  return step.kind === "measure" ? unitOf(step.quantity) : "";
}
