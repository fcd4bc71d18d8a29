import { createContext, useContext } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { pathText } from "./json-path.js";
import type { Json, JsonObject, Path } from "./json-path.js";

export type Finding = CallResult<"checkPlan">["findings"][number];

/** The plan in the editor, for the fields of its form. */
export interface Edit {
  readonly plan: JsonObject;
  readonly findings: readonly Finding[];
  /** Another value at a path; undefined takes the field away. */
  readonly set: (path: Path, value: Json | undefined) => void;
  /** Another plan. */
  readonly put: (plan: Json | undefined) => void;
}

export const EditContext = createContext<Edit | null>(null);

export function useEdit(): Edit {
  const edit = useContext(EditContext);
  if (edit === null) throw new Error("No editor around this field.");
  return edit;
}

/** What the checker says of just this place; with `inside` also of what is below it. */
export function findingsAt(
  findings: readonly Finding[],
  path: Path,
  inside = false,
): readonly Finding[] {
  const here = pathText(path);
  return findings.filter(
    ({ path: at }) =>
      at === here || (inside && (at.startsWith(`${here}.`) || at.startsWith(`${here}[`))),
  );
}
