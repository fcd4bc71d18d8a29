import type { Plan, Step } from "../schema.js";
import { WATCH_DETAILS } from "../../contract/plan-choices.js";
import type { Finding } from "./finding.js";

/** Steps that can never be reached, watches that can never find anything, points used twice. */
export function reach(plan: Plan): Finding[] {
  const dead = new Set<string>();
  return plan.steps.flatMap((step, at) => {
    const path = `$.steps[${at}]`;
    const why = unreachable(plan, step, dead);
    if (why !== null) dead.add(step.id);
    const never = why === null ? [] : [finding(step, "unreachable", `${path}.needs`, why)];
    return [...never, ...senseless(step, path)];
  });
}

function finding(step: Step, code: Finding["code"], path: string, what: string): Finding {
  const action = ACTIONS[code] ?? "Correct it.";
  return { level: "error", code, path, step: step.id, what, action };
}

const ACTIONS: Partial<Record<Finding["code"], string>> = {
  unreachable: "Correct its needs.",
  "same-point": "Put the probes on two points.",
  "watch-condition": "Correct the condition, or choose the watch that fits.",
  "judged-unknown": "Judge value, or a detail that the watch gives.",
};

function unreachable(plan: Plan, step: Step, dead: ReadonlySet<string>): string | null {
  for (const need of step.needs) {
    const other = plan.steps.find(({ id }) => id === need.step);
    if (!other) continue;
    if (need.verdict === "not-pass") {
      if (passes(step, other.id)) return `"${step.id}" needs "${other.id}" both to pass and not to`;
      continue;
    }
    if (dead.has(other.id)) return `"${step.id}" needs "${other.id}", which is never reached`;
    if (need.verdict !== "any" && !canBe(other, need.verdict))
      return `"${step.id}" needs "${other.id}" to ${need.verdict === "judged" ? "be judged" : need.verdict}, which it never can`;
    const contrary = need.verdict === "pass" ? "fail" : "pass";
    const both = step.needs.some((each) => each.step === other.id && each.verdict === contrary);
    if ((need.verdict === "pass" || need.verdict === "fail") && both)
      return `"${step.id}" needs "${other.id}" both to pass and to fail`;
  }
  return null;
}

function passes(step: Step, other: string): boolean {
  return step.needs.some((each) => each.step === other && each.verdict === "pass");
}

function canBe(step: Step, verdict: "pass" | "fail" | "judged"): boolean {
  switch (step.kind) {
    case "measure":
      return step.limits?.low !== undefined || step.limits?.high !== undefined;
    case "look":
      return step.choices.some((choice) =>
        verdict === "judged" ? choice.verdict !== "not-judged" : choice.verdict === verdict,
      );
    case "do":
    case "wait":
      return false;
  }
}

function senseless(step: Step, path: string): Finding[] {
  if (step.kind !== "measure") return [];
  const found: Finding[] = [];
  if (step.red === step.black)
    found.push(finding(step, "same-point", path, `"${step.id}" has both probes on ${step.red}`));
  const { kind } = step.watch;
  const known = ["value", ...WATCH_DETAILS[kind]];
  if (!(known as readonly string[]).includes(step.judged))
    found.push(
      finding(step, "judged-unknown", `${path}.judged`, `a ${kind} gives no "${step.judged}"`),
    );
  const wrong = wrongCondition(step);
  if (wrong !== null) found.push(finding(step, "watch-condition", `${path}.condition`, wrong));
  return found;
}

function wrongCondition(step: Extract<Step, { kind: "measure" }>): string | null {
  const { watch, condition, quantity } = step;
  const worked = watch.kind === "sag" || watch.kind === "change";
  if (worked && condition.trigger !== "worked")
    return `a ${watch.kind} wants the trigger worked, not ${condition.trigger}`;
  if (watch.kind === "sag" && quantity !== "voltage") return `a sag is of voltage, not ${quantity}`;
  if (watch.kind === "sweep" && condition.shaft !== "turned-by-hand")
    return "a sweep wants the shaft turned by hand";
  return null;
}
