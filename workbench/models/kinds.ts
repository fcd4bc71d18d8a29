import { cordlessBrushed } from "./cordless-brushed.js";
import type { ToolModel } from "./model.js";
import type { ToolData } from "./tool-data.js";

/** A new kind of tool: its file, and one line here. */
const kinds: Readonly<Record<string, (data: ToolData) => ToolModel>> = {
  "cordless-brushed": cordlessBrushed,
  "cordless-brushed-electronic": (data) => cordlessBrushed({ ...data, trigger: "electronic" }),
};

export const KINDS = Object.keys(kinds);

/** The model of a kind of tool, or null where there is none. */
export function modelOf(kind: string, data: ToolData = {}): ToolModel | null {
  return Object.hasOwn(kinds, kind) ? (kinds[kind]?.(data) ?? null) : null;
}
