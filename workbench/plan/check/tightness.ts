import { unitOf } from "../../../protocols/reading.js";
import { readingUncertainty } from "../../measurement/uncertainty.js";
import type { Accuracy } from "../../measurement/accuracy.js";
import type { Limits } from "../../measurement/verdict.js";
import { formulaScope, resolveLimits } from "../limits.js";
import type { MeasureStep, Plan } from "../schema.js";
import { plainResult } from "../step-results.js";
import type { StepResult } from "../step-result.js";
import type { Finding } from "./finding.js";
import { countAt } from "./usual-meter.js";

/** The limits should be four times as wide as the meter is unsure: the usual accuracy ratio. */
const RATIO = 4;
const K = 2;

/** Limits that cross, have no value, or ask more of the meter than it can tell. */
export function tightness(plan: Plan, accuracy: Accuracy, counts: number): Finding[] {
  const data = Object.fromEntries(
    Object.entries(plan.tool.data).map(([name, entry]) => [name, entry.default]),
  );
  const results = new Map<string, StepResult>();
  return plan.steps.flatMap((step, at) => {
    if (step.kind !== "measure") return [];
    const resolved = resolveLimits(step, formulaScope(data, results));
    // What later formulas see: the middle of what passes here.
    const value = resolved.limits ? middle(resolved.limits) : null;
    const span = { started_s: 0, ended_s: 0 };
    results.set(step.id, { ...plainResult(step.id, "not-judged", "", span), value });
    const path = `$.steps[${at}].limits`;
    if (resolved.limits) return judgeLimits(step, path, resolved.limits, accuracy, counts);
    return resolved.reason === null ? [] : noValue(step, path, resolved.reason, results);
  });
}

function middle({ low, high }: Limits): number | null {
  if (low !== null && high !== null) return (low + high) / 2;
  return low ?? high;
}

/** A formula of results that only a real run has (a detail of a watch) is no finding. */
function noValue(
  step: MeasureStep,
  path: string,
  reason: string,
  results: ReadonlyMap<string, StepResult>,
): Finding[] {
  const waits = [...results.keys()].some((id) => reason.includes(id) && id !== step.id);
  if (waits) return [];
  return [
    finding(
      step,
      "error",
      "limit-no-value",
      path,
      `of "${step.id}": ${reason}`,
      "Correct the formula; it must have a value with the tool's default data.",
    ),
  ];
}

function judgeLimits(
  step: MeasureStep,
  path: string,
  limits: Limits,
  accuracy: Accuracy,
  counts: number,
): Finding[] {
  const { low, high } = limits;
  if (low !== null && high !== null && low > high) {
    const what = `the limits of "${step.id}" cross: low ${short(step, low)}, high ${short(step, high)}`;
    return [finding(step, "error", "limits-crossed", path, what, "Swap or correct them.")];
  }
  const room = roomOf(limits);
  if (room === null) return [];
  const unsure = uncertaintyAt(step, low ?? high ?? 0, accuracy, counts);
  if (room > RATIO * unsure) return [];
  const figures = `the limits of "${step.id}" leave ${short(step, room)} either way, and the meter is unsure by ${short(step, unsure)}`;
  return room <= unsure
    ? [
        finding(
          step,
          "error",
          "limit-too-tight",
          path,
          `${figures}: it can hardly pass`,
          "Widen the limits, or measure something that tells more.",
        ),
      ]
    : [
        finding(
          step,
          "warning",
          "limit-needs-better-meter",
          path,
          `${figures}: less than 4 to 1`,
          "Use a better meter here, or expect verdicts too close to call.",
        ),
      ];
}

/** Half the width between two limits; with one limit, its distance from zero. */
function roomOf({ low, high }: Limits): number | null {
  if (low !== null && high !== null) return (high - low) / 2;
  const only = low ?? high;
  return only === null || only === 0 ? null : Math.abs(only);
}

function uncertaintyAt(
  step: MeasureStep,
  value: number,
  accuracy: Accuracy,
  counts: number,
): number {
  const outcome = {
    value,
    resolution: countAt(step.quantity, value, counts),
    spread: 0,
    samples: 1,
  };
  const around = { quantity: step.quantity, coupling: step.coupling };
  return K * (readingUncertainty(outcome, accuracy, around)?.u ?? 0);
}

const short = ({ quantity }: MeasureStep, value: number) =>
  `${Number(value.toPrecision(3))} ${unitOf(quantity)}`;

function finding(
  step: MeasureStep,
  level: Finding["level"],
  code: Finding["code"],
  path: string,
  what: string,
  action: string,
): Finding {
  return { level, code, path, step: step.id, what, action };
}
