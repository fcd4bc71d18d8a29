import { LeadhandError } from "../../protocols/error.js";
import type { Accuracy } from "../measurement/accuracy.js";
import type { Finding } from "./check/finding.js";
import { hazards } from "./check/hazards.js";
import { path } from "./check/path.js";
import { reach } from "./check/reach.js";
import { tightness } from "./check/tightness.js";
import { USUAL_COUNTS, USUAL_METER } from "./check/usual-meter.js";
import type { Plan } from "./schema.js";

export interface CheckOptions {
  /** The meter that the plan will be run with; a usual hand-held one where none is named. */
  readonly accuracy?: Accuracy;
  readonly counts?: number;
}

/** Everything the checker has to say about a plan that loads; hazards first. Never throws. */
export function checkPlan(plan: Plan, options: CheckOptions = {}): Finding[] {
  const { accuracy = USUAL_METER, counts = USUAL_COUNTS } = options;
  return [...hazards(plan), ...reach(plan), ...tightness(plan, accuracy, counts), ...path(plan)];
}

/** Throws `plan/refused` with the first error, for whoever is about to run the plan. */
export function refuseUnsafe(plan: Plan, options: CheckOptions = {}): void {
  const errors = checkPlan(plan, options).filter(({ level }) => level === "error");
  const [first] = errors;
  if (first === undefined) return;
  const more = errors.length > 1 ? ` (and ${errors.length - 1} more)` : "";
  throw new LeadhandError("plan/refused", {
    what: `The plan ${plan.id} must not be run: at ${first.path}, ${first.what}${more}.`,
    action: `${first.action} check-plan lists everything.`,
  });
}

/** A plan with an error must not be run. */
export function isRefused(findings: readonly Finding[]): boolean {
  return findings.some(({ level }) => level === "error");
}
