/** `borderline`: too close to call with this meter. `not-judged`: the step has no limits. */
export type Verdict = "pass" | "fail" | "borderline" | "not-judged";

/** Named decision rules (JCGM 106:2012, ILAC-G8:09/2019). */
export type DecisionRule = "simple" | "guarded";

export interface Limits {
  readonly low: number | null;
  readonly high: number | null;
}
