import type { Limits } from "../measurement/verdict.js";
import { parseFormula } from "./formula.js";
import type { FormulaScope } from "./formula.js";
import type { MeasureStep } from "./schema.js";
import type { StepResult } from "./step-result.js";

export interface ResolvedLimits {
  /** null: the step has no limits, or a formula has no value. */
  readonly limits: Limits | null;
  /** Why a formula has no value, in words; null where all is well. */
  readonly reason: string | null;
}

/** Works out the limits of a step from tool data and earlier results. */
export function resolveLimits(step: MeasureStep, scope: FormulaScope): ResolvedLimits {
  if (!step.limits) return { limits: null, reason: null };
  const low = resolve(step.limits.low, scope);
  const high = resolve(step.limits.high, scope);
  const reason = low.reason ?? high.reason;
  return { limits: reason === null ? { low: low.value, high: high.value } : null, reason };
}

function resolve(
  limit: number | string | undefined,
  scope: FormulaScope,
): { value: number | null; reason: string | null } {
  if (limit === undefined) return { value: null, reason: null };
  if (typeof limit === "number") return { value: limit, reason: null };
  const formula = parseFormula(limit);
  const value = formula.evaluate(scope);
  if (value !== null) return { value, reason: null };
  const missing = formula.results.find((name) => scope.result(name) === null);
  const reason = missing
    ? `the limit needs the result of ${missing.step}, which has none`
    : `the limit ${limit} has no value with this tool's data`;
  return { value: null, reason };
}

/** What formulas see: the tool's data, and what the steps so far have found. */
export function formulaScope(
  data: Readonly<Record<string, number>>,
  results: ReadonlyMap<string, StepResult>,
): FormulaScope {
  return {
    data: (name) => (Object.hasOwn(data, name) ? (data[name] ?? null) : null),
    result: ({ step, detail }) => {
      const result = results.get(step);
      if (!result) return null;
      if (detail === null) return result.value;
      return Object.hasOwn(result.details, detail) ? (result.details[detail]?.value ?? null) : null;
    },
  };
}
