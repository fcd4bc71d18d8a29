import { coverageFactor, studentCdf } from "./distributions.js";
import type { DecisionRule, Limits, Verdict } from "./verdict.js";

/** What is judged: a value with its combined standard uncertainty and effective degrees of freedom. */
export interface JudgeInput {
  readonly value: number;
  /** Standard uncertainty in the unit of `value`; 0 where nothing is known of it. */
  readonly u: number;
  /** Effective degrees of freedom; Infinity where no type A part counts. */
  readonly dof: number;
  readonly limits: Limits;
  readonly rule: DecisionRule;
  /** Guard band as a share r of U, w = r·U (JCGM 106:2012, 8.3.2); 1 unless the plan says. */
  readonly guard?: number;
  /** Coverage of U; 0.9545 gives k = 2 for many degrees of freedom. */
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
  const { value, u, dof, limits, rule } = input;
  const k = coverageFactor(input.coverage ?? 0.9545, dof);
  const expandedUncertainty = k * u;
  if (limits.low === null && limits.high === null) {
    return { verdict: "not-judged", k, expandedUncertainty, risk: null };
  }
  const w = rule === "guarded" ? (input.guard ?? 1) * expandedUncertainty : 0;
  const verdict = decide(value, limits, w);
  const inside = conformance(value, u, dof, limits);
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
export function conformance(value: number, u: number, dof: number, limits: Limits): number {
  const below = limits.low === null ? 0 : tail((value - limits.low) / u, value < limits.low, dof);
  const above =
    limits.high === null ? 0 : tail((limits.high - value) / u, value > limits.high, dof);
  return Math.max(0, 1 - below - above);
}

/** Probability beyond a limit that is `distance` standard uncertainties away; u = 0 is certain. */
function tail(distance: number, outside: boolean, dof: number): number {
  if (!Number.isFinite(distance) || Number.isNaN(distance)) return outside ? 1 : 0;
  return studentCdf(-distance, dof);
}
