import type { Verdict } from "../measurement/verdict.js";
import type { StepResult } from "./step-result.js";

/** A result without a value: a `do`, `look` or `wait` step, or one that was skipped. */
export function plainResult(
  step: string,
  verdict: Verdict,
  reason: string,
  span: { readonly started_s: number; readonly ended_s: number },
): StepResult {
  return {
    event: "step",
    step,
    verdict,
    value: null,
    overload: false,
    unit: "",
    resolution: null,
    uncertainty: null,
    k: null,
    limits: null,
    rule: null,
    risk: null,
    doubt: null,
    polarity: null,
    zero: null,
    ...span,
    details: {},
    reason,
  };
}

const SKIPPED = "skipped: ";

export function skippedResult(step: string, why: string, time_s: number): StepResult {
  return plainResult(step, "not-judged", `${SKIPPED}${why}`, {
    started_s: time_s,
    ended_s: time_s,
  });
}

export function wasSkipped({ reason }: Pick<StepResult, "reason">): boolean {
  return reason?.startsWith(SKIPPED) ?? false;
}
