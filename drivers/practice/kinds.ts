import { LeadhandError } from "../../protocols/error.js";
import { cordlessBrushed, cordlessBrushedElectronic } from "./tools/cordless-brushed.js";
import { charger } from "./tools/charger.js";
import { cordedUniversal } from "./tools/corded-universal.js";
import { cordlessBrushless } from "./tools/cordless-brushless.js";
import { pack } from "./tools/pack.js";
import type { ToolKind } from "./tools/tool.js";

/** One line a kind. */
export const PRACTICE_KINDS: readonly ToolKind[] = [
  cordlessBrushed,
  cordlessBrushedElectronic,
  cordlessBrushless,
  charger,
  pack,
  cordedUniversal,
];

/** @throws LeadhandError usage/practice-kind where there is no such tool on the practice bench. */
export function practiceKind(kind: string): ToolKind {
  const found = PRACTICE_KINDS.find((candidate) => candidate.kind === kind);
  if (found !== undefined) return found;
  throw new LeadhandError("usage/practice-kind", {
    what: `There is no tool "${kind}" on the practice bench.`,
    action: `Use one of: ${PRACTICE_KINDS.map((known) => known.kind).join(", ")}.`,
  });
}

/** @throws LeadhandError usage/practice-fault for a fault that this kind of tool cannot have. */
export function checkFaults(kind: ToolKind, faults: readonly string[]): void {
  const known = kind.faults.map((fault) => fault.id);
  const unknown = faults.find((fault) => !known.includes(fault));
  if (unknown === undefined) return;
  throw new LeadhandError("usage/practice-fault", {
    what: `A tool of kind "${kind.kind}" has no fault "${unknown}" to hide.`,
    action: `Use one of: ${known.join(", ")}.`,
  });
}
