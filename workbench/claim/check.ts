/** One claim a pack makes, and what came of looking at it. */
export interface Check {
  readonly claim: ClaimName;
  /**
   * `good`: looked at and true. `bad`: looked at and not true. `absent`: the pack does not make the
   * claim. `open`: it could not be looked at, for the reason told.
   */
  readonly outcome: "good" | "bad" | "absent" | "open";
  /** For a person, one sentence. */
  readonly words: string;
  /** Files or lines it is about. */
  readonly places: readonly string[];
}

/** In the order they are looked at. */
export const CLAIMS = [
  "container",
  "bag",
  "altered",
  "missing",
  "added",
  "size",
  "tags",
  "signature",
  "key",
  "journal",
  "traces",
  "readings",
  "verdicts",
] as const;
export type ClaimName = (typeof CLAIMS)[number];

export function check(
  claim: ClaimName,
  outcome: Check["outcome"],
  words: string,
  places: readonly string[] = [],
): Check {
  return { claim, outcome, words, places };
}
