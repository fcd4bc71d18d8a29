import { z } from "zod";
import type { ToolModel } from "./model.js";

/** What a shop has found in its own tools of one kind. */
export const experienceSchema = z.strictObject({
  /** How many tools were repaired. */
  tools: z.int().positive(),
  /** A count may be a share: a record names the part, not always how it failed. */
  faults: z.array(
    z.strictObject({ part: z.string(), mode: z.string(), count: z.number().nonnegative() }),
  ),
});

export type Experience = z.infer<typeof experienceSchema>;

/** The odds that come with a model weigh as much as this many tools seen. */
const WORTH_TOOLS = 100;

/** The model with its odds moved towards what the shop has found, more so the more it has seen. */
export function withExperience(model: ToolModel, { tools, faults }: Experience): ToolModel {
  const counted = (part: string, mode: string): number =>
    faults
      .filter((one) => one.part === part && one.mode === mode)
      .reduce((sum, one) => sum + one.count, 0);
  return {
    ...model,
    parts: model.parts.map((part) => ({
      ...part,
      modes: part.modes.map((mode) => ({
        ...mode,
        odds: (mode.odds * WORTH_TOOLS + counted(part.id, mode.id)) / (WORTH_TOOLS + tools),
      })),
    })),
  };
}
