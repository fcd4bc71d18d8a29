import type { Accuracy } from "../measurement/accuracy.js";
import type { Budget } from "../measurement/uncertainty.js";
import { judge } from "../measurement/judge.js";
import { readingUncertainty } from "../measurement/uncertainty.js";
import type { Limits, Verdict } from "../measurement/verdict.js";
import type { Outcome } from "../measurement/watch.js";
import type { ResolvedLimits } from "./limits.js";
import { stepUnit } from "./outline.js";
import type { MeasureStep } from "./schema.js";
import { plainResult } from "./step-results.js";
import type { StepResult } from "./step-result.js";

/** What is known of the meter that a step is measured with. */
export interface MeterKnown {
  /** null: verdicts know the resolution and the scatter only. */
  readonly accuracy: Accuracy | null;
  /** Day of the run, ISO 8601, to tell whether the calibration holds; null: not told. */
  readonly date: string | null;
}

/** What a watch found, judged against the step's limits with the meter's uncertainty. */
export function judgeOutcome(
  step: MeasureStep,
  outcome: Outcome,
  resolved: ResolvedLimits,
  { accuracy, date }: MeterKnown,
): StepResult {
  const figure = judgedFigure(step, outcome);
  const found = foundResult(step, outcome, figure, resolved);
  if (figure.value === null) {
    return withFinding({ ...found, ...withoutValue(outcome, figure, resolved) }, outcome);
  }
  const { quantity, coupling } = step;
  if (step.zero === "note" && outcome.zero !== null)
    return withFinding({ ...found, reason: NOTHING_THERE }, outcome);
  const around = { quantity, coupling, ...(date === null ? {} : { date }) };
  const meter = readingUncertainty({ ...outcome, value: figure.value }, accuracy, around);
  const u = combinedUncertainty(figure, outcome, meter?.u ?? 0);
  const dof = figure.u === null ? (meter?.dof ?? Infinity) : Infinity;
  const limits = resolved.limits ?? { low: null, high: null };
  // A figure in another unit than the meter's owes nothing to its accuracy statement.
  const rectangular = figure.u === null || sameUnit(figure, outcome) ? meter?.rectangular : [];
  const error = { u, dof, rectangular: rectangular ?? [] };
  const judged = judge({ value: figure.value, ...error, limits, rule: step.rule });
  const result: StepResult = {
    ...found,
    verdict: judged.verdict,
    uncertainty: u > 0 ? judged.expandedUncertainty : null,
    k: u > 0 ? judged.k : null,
    risk: judged.risk,
    doubt: doubtOf(figure, outcome, meter),
    reason: resolved.reason,
  };
  return withFinding(result, outcome);
}

/** Where nothing may be right, such as a charger that waits for its pack. */
const NOTHING_THERE = "nothing there, proved; by itself that is no fault";

/**
 * What a watch knows of its figure is the scatter of the readings. Where the figure is read off the
 * meter in its own unit (a plateau in volts), the meter's accuracy comes on top (GUM 5.1.2): a
 * verdict must not be surer than the meter.
 */
function combinedUncertainty(figure: Figure, outcome: Outcome, meter_u: number): number {
  if (figure.u === null) return meter_u;
  return sameUnit(figure, outcome) ? Math.hypot(figure.u, meter_u) : figure.u;
}

/** What the uncertainty of the figure leaves out. */
function doubtOf(figure: Figure, outcome: Outcome, meter: Budget | null): string | null {
  if (figure.u === null || sameUnit(figure, outcome)) return meter?.note ?? null;
  // A resistance of two meters has the errors of both; a time has those of neither.
  return figure.unit === "s" ? null : "without the meters' own accuracy";
}

function sameUnit(figure: Figure, outcome: Outcome): boolean {
  return figure.unit === outcome.unit;
}

/** What the watch found wrong fails the step; of that no uncertainty of the value tells the risk. */
function withFinding(result: StepResult, { finding }: Outcome): StepResult {
  if (finding === undefined) return result;
  return { ...result, verdict: "fail", risk: null, reason: finding };
}

interface Figure {
  readonly value: number | null;
  readonly unit: string;
  /** Standard uncertainty, where the watch knows it itself. */
  readonly u: number | null;
  readonly note: string | null;
}

/** The figure that the step judges: the value itself, or a named detail of the watch. */
function judgedFigure(step: MeasureStep, outcome: Outcome): Figure {
  if (step.judged === "value")
    return { value: outcome.value, unit: outcome.unit, u: null, note: null };
  const detail = Object.hasOwn(outcome.details, step.judged) ? outcome.details[step.judged] : null;
  if (!detail) {
    const note = `the watch gives no ${step.judged}`;
    return { value: null, unit: outcome.unit, u: null, note };
  }
  const { value, unit, u, note } = detail;
  return { value, unit, u: u ?? null, note: note ?? null };
}

function foundResult(
  step: MeasureStep,
  outcome: Outcome,
  figure: Figure,
  resolved: ResolvedLimits,
): StepResult {
  return {
    event: "step",
    step: step.id,
    verdict: "not-judged",
    value: figure.value,
    overload: outcome.overload,
    unit: figure.unit,
    resolution: outcome.resolution,
    uncertainty: null,
    k: null,
    limits: resolved.limits,
    rule: resolved.limits ? step.rule : null,
    risk: null,
    doubt: null,
    polarity: outcome.polarity,
    zero: outcome.zero,
    started_s: outcome.started_s,
    ended_s: outcome.ended_s,
    details: outcome.details,
    reason: null,
  };
}

/** Over range has no figure, and still lies beyond any limit on its side. */
function withoutValue(
  outcome: Outcome,
  figure: Figure,
  { limits, reason }: ResolvedLimits,
): Pick<StepResult, "verdict" | "risk" | "reason"> {
  if (outcome.overload === false || figure.note !== null || limits === null)
    return { verdict: "not-judged", risk: null, reason: reason ?? figure.note };
  return { verdict: beyond(outcome.overload, limits), risk: 0, reason: null };
}

function beyond(overload: Exclude<Outcome["overload"], false>, { low, high }: Limits): Verdict {
  if (low === null && high === null) return "not-judged";
  const limitOnItsSide = overload === "negative" ? low : high;
  return limitOnItsSide === null ? "pass" : "fail";
}

/** The result of a step whose watch found nothing: never a pass, never silently a fail. */
export function emptyResult(
  step: MeasureStep,
  resolved: ResolvedLimits,
  reason: string,
  span: { readonly started_s: number; readonly ended_s: number },
): StepResult {
  return {
    ...plainResult(step.id, "not-judged", reason, span),
    unit: stepUnit(step),
    limits: resolved.limits,
    rule: resolved.limits ? step.rule : null,
  };
}
