import { LeadhandError } from "../../protocols/error.js";
import { KINDS, modelOf } from "../models/kinds.js";
import type { ToolModel } from "../models/model.js";
import { unknownName } from "./nearest.js";

/** The model of a kind of tool; throws `diagnosis/kind` with the nearest known name. */
export function knownModel(kind: string): ToolModel {
  const model = modelOf(kind);
  if (model === null) throw kindUnknown(kind);
  return model;
}

export function kindUnknown(kind: string): LeadhandError {
  return new LeadhandError("diagnosis/kind", {
    what: `${unknownName("kind of tool", kind, KINDS)}.`,
    action: `Known are: ${KINDS.join(", ")}.`,
  });
}
