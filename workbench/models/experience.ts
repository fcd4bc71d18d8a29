import type { ToolModel } from "./model.js";

/** What a shop has found in its own tools of one kind. */
export interface Experience {
  /** How many tools were repaired. */
  readonly tools: number;
  readonly faults: readonly {
    readonly part: string;
    readonly mode: string;
    readonly count: number;
  }[];
}

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
