import type { ToolModel } from "../../models/model.js";
import type { Measured } from "../observation.js";
import type { Declared } from "./free-event.js";
import type { HeldReading } from "./match.js";

/** A reading taken beside the plan, as the reasoning takes readings. Nobody proved its zero. */
export function measuredAt(
  { probe: { red, black }, condition }: Pick<Declared, "probe" | "condition">,
  { quantity, value }: Pick<HeldReading, "quantity" | "value">,
): Measured {
  const rest = { u: null, proved: false, unsteady: null };
  return { kind: "measured", quantity, red, black, condition, value, ...rest };
}

/** What the journal keeps of it, back as a reading; null where the model has no such place. */
export function measuredFrom(
  model: ToolModel,
  recorded: Pick<HeldReading, "quantity" | "value"> & {
    readonly red: string;
    readonly black: string;
    readonly condition: string;
  },
): Measured | null {
  const { red, black, quantity } = recorded;
  const known = model.points.filter(({ id }) => id === red || id === black);
  const condition = model.conditions.find(({ id }) => id === recorded.condition)?.condition;
  if (known.length < 2 || condition === undefined) return null;
  const probe = { quantity, red, black, condition: recorded.condition };
  return measuredAt({ probe, condition }, recorded);
}
