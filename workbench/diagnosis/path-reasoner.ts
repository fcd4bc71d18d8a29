import type { PowerPath } from "../contract/events.js";
import { observationsOf } from "./from-step.js";
import { powerPath } from "./power-path.js";
import { modelOf } from "../models/kinds.js";
import type { ToolModel } from "../models/model.js";
import { toolDataSchema } from "../models/tool-data.js";
import type { Plan } from "../plan/schema.js";
import type { StepResult } from "../plan/step-result.js";

const NOTHING_KNOWN: PowerPath = { parts: [], points: [], next: null };

/** Follows what the recorded steps say of the parts. A step that is repeated replaces its reading. */
export class PathReasoner {
  readonly #model: ToolModel | null;
  readonly #results = new Map<string, StepResult>();

  constructor(
    private readonly plan: Plan,
    data: Readonly<Record<string, number>>,
  ) {
    const known = toolDataSchema.safeParse({
      nominal_V: data["ratedVoltage"],
      cells: data["cells"],
    });
    this.#model = modelOf(plan.tool.kind, known.success ? known.data : {});
  }

  take(result: StepResult): void {
    this.#results.set(result.step, result);
  }

  path(): PowerPath {
    const model = this.#model;
    if (!model) return NOTHING_KNOWN;
    const observations = this.plan.steps.flatMap((step) => {
      const result = this.#results.get(step.id);
      return result ? observationsOf(model, step, result) : [];
    });
    return powerPath(model, observations);
  }
}

/** What the readings say, as one sentence for the end of a run. */
export function conclusionOf(path: PowerPath): string {
  const condemned = path.parts.filter(({ state }) => state === "condemned");
  if (condemned.length > 0) return `At fault: ${listed(condemned.map(({ label }) => label))}.`;
  const suspects = path.parts
    .filter(({ state }) => state === "suspect")
    .sort((a, b) => (b.odds ?? 0) - (a.odds ?? 0));
  if (suspects.length > 0) {
    return `Not settled. Suspect: ${listed(suspects.map(({ label }) => label))}.`;
  }
  return path.parts.length > 0
    ? "No fault found in what was measured."
    : "This kind of tool has no model yet: judge by the recorded steps.";
}

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
