import { errorCdf, expansionFactor } from "./error-distribution.js";
import type { ErrorParts } from "./error-distribution.js";
import type { DecisionRule, Limits, Verdict } from "./verdict.js";

/** What is judged: a value and what is known of its error; u = 0 where nothing is. */
export interface JudgeInput extends ErrorParts {
  readonly value: number;
  readonly limits: Limits;
  readonly rule: DecisionRule;
  /** Guard band as a share r of U, w = r·U (JCGM 106:2012, 8.3.2); 1 unless the plan says. */
  readonly guard?: number;
  /**
   * Coverage of U. 0.9545 gives k = 2 where the error is normal, and less where the meter's
   * accuracy statement dominates: it has bounds (EA-4/02 S9).
   */
  readonly coverage?: number;
}

export interface Judgement {
  readonly verdict: Verdict;
  readonly k: number;
  /** U = k·u. */
  readonly expandedUncertainty: number;
  /**
   * Probability that this verdict is wrong: of a pass, that the true value lies outside the
   * limits; of a fail, that it lies inside; of a borderline, the smaller of the two. null where
   * there are no limits.
   */
  readonly risk: number | null;
}

/**
 * Judges a value against limits by a named decision rule (JCGM 106:2012, ILAC-G8:09/2019).
 * `simple`: pass within the limits, else fail; the risk may reach one half at a limit.
 * `guarded`: pass within the limits drawn in by w = r·U, fail beyond the limits pushed out by w,
 * borderline between: too close to call with this meter.
 */
export function judge(input: JudgeInput): Judgement {
  const { value, u, limits, rule } = input;
  const k = expansionFactor(input, input.coverage ?? 0.9545);
  const expandedUncertainty = k * u;
  if (limits.low === null && limits.high === null) {
    return { verdict: "not-judged", k, expandedUncertainty, risk: null };
  }
  const w = rule === "guarded" ? (input.guard ?? 1) * expandedUncertainty : 0;
  const verdict = decide(value, limits, w);
  const inside = conformance(value, input, limits);
  return { verdict, k, expandedUncertainty, risk: riskOf(verdict, inside) };
}

function decide(value: number, { low, high }: Limits, w: number): Verdict {
  const floor = low ?? Number.NEGATIVE_INFINITY;
  const ceiling = high ?? Number.POSITIVE_INFINITY;
  if (value >= floor + w && value <= ceiling - w) return "pass";
  if (value < floor - w || value > ceiling + w) return "fail";
  return "borderline";
}

function riskOf(verdict: Verdict, inside: number): number {
  if (verdict === "pass") return 1 - inside;
  if (verdict === "fail") return inside;
  return Math.min(inside, 1 - inside);
}

/** Conformance probability: that the true value lies within the limits (JCGM 106:2012, 7.2). */
export function conformance(value: number, parts: ErrorParts, { low, high }: Limits): number {
  if (parts.u === 0) return within(value, { low, high }) ? 1 : 0;
  const below = low === null ? 0 : errorCdf(parts, low - value);
  const above = high === null ? 0 : errorCdf(parts, value - high);
  return Math.max(0, 1 - below - above);
}

function within(value: number, { low, high }: Limits): boolean {
  return value >= (low ?? -Infinity) && value <= (high ?? Infinity);
}
