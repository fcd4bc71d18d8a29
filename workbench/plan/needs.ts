import type { Verdict } from "../measurement/verdict.js";
import type { Plan, Step } from "./schema.js";
import { wasSkipped } from "./step-results.js";
import type { StepResult } from "./step-result.js";

type Need = Step["needs"][number];

/**
 * Why a step makes no sense after what was found, or null where it does. "pass" is met by a pass
 * or a borderline (too close to call is not a fault), "fail" by a fail, "judged" by any of these,
 * "any" by a step that was done at all, "not-pass" by anything but a pass, skipped ones too: what it
 * would have cleared is still open.
 */
export function unmetNeed(
  { steps }: Plan,
  step: Pick<Step, "needs">,
  results: ReadonlyMap<string, StepResult>,
): string | null {
  for (const need of step.needs) {
    const title = steps.find(({ id }) => id === need.step)?.title ?? need.step;
    const why = unmet(need, title, results.get(need.step));
    if (why !== null) return why;
  }
  return null;
}

/** The same where steps that have no result yet may still be taken. */
export function ruledOut(
  plan: Plan,
  step: Step,
  results: ReadonlyMap<string, StepResult>,
): string | null {
  return unmetNeed(plan, { needs: step.needs.filter((need) => results.has(need.step)) }, results);
}

function unmet({ verdict }: Need, title: string, result: StepResult | undefined): string | null {
  if (!result) return `“${title}” has not been done`;
  if (verdict === "not-pass" && wasSkipped(result)) return null;
  if (wasSkipped(result)) return `“${title}” was skipped`;
  if (meets(result.verdict, verdict)) return null;
  return `it needs “${title}” to ${WANTED[verdict]}, and that was ${VERDICT_WORDS[result.verdict]}`;
}

function meets(found: Verdict, wanted: Need["verdict"]): boolean {
  if (wanted === "any") return true;
  if (wanted === "not-pass") return found !== "pass";
  if (wanted === "judged") return found !== "not-judged";
  return wanted === "fail" ? found === "fail" : found === "pass" || found === "borderline";
}

const WANTED: Readonly<Record<Need["verdict"], string>> = {
  pass: "pass",
  fail: "fail",
  judged: "be judged",
  any: "be done",
  "not-pass": "come out as anything but a pass",
};

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  pass: "a pass",
  fail: "a fail",
  borderline: "too close to call",
  "not-judged": "not judged",
};
