import { charger } from "./charger.js";
import { cordedUniversal } from "./corded-universal.js";
import { cordlessBrushed, cordlessBrushedElectronic } from "./cordless-brushed.js";
import { cordlessBrushless } from "./cordless-brushless.js";
import type { ToolModel } from "./model.js";
import { pack } from "./pack.js";
import type { ToolData } from "./tool-data.js";

/** A new kind of tool: its file, and one line here. */
const kinds: Readonly<Record<string, (data: ToolData) => ToolModel>> = {
  "cordless-brushed": cordlessBrushed,
  "cordless-brushed-electronic": cordlessBrushedElectronic,
  "cordless-brushless": cordlessBrushless,
  charger,
  pack,
  "corded-universal": cordedUniversal,
};

export const KINDS = Object.keys(kinds);

/** The model of a kind of tool, or null where there is none. */
export function modelOf(kind: string, data: ToolData = {}): ToolModel | null {
  return Object.hasOwn(kinds, kind) ? (kinds[kind]?.(data) ?? null) : null;
}
