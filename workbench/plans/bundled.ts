import { LeadhandError } from "../../protocols/error.js";
import { parsePlan } from "../plan/load.js";
import type { Plan, PlanInput } from "../plan/schema.js";
import { charger } from "./charger.js";
import { cordedUniversal } from "./corded-universal.js";
import { cordlessBrushed } from "./cordless-brushed.js";
import { cordlessBrushedElectronic } from "./cordless-brushed-electronic.js";
import { cordlessBrushless } from "./cordless-brushless.js";
import { pack } from "./pack.js";

/** The plans that come with the program, in the order in which they are offered. One line a plan. */
const inputs: readonly PlanInput[] = [
  cordlessBrushed,
  cordlessBrushedElectronic,
  cordlessBrushless,
  charger,
  pack,
  cordedUniversal,
];

/** A bundled plan by its id; throws `plan/unknown` with the ids there are. */
export function bundledPlan(id: string): Plan {
  const input = inputs.find((each) => each.id === id);
  if (input) return parsePlan(input, id);
  throw new LeadhandError("plan/unknown", {
    what: `There is no bundled plan "${id}".`,
    action: `Use one of ${inputs.map((each) => each.id).join(", ")}, or the path of a plan file.`,
  });
}

export function bundledPlans(): Plan[] {
  return inputs.map((input) => parsePlan(input, input.id));
}
