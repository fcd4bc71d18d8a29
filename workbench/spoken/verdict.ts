import type { Limits } from "../measurement/verdict.js";
import type { Step } from "../plan/schema.js";
import type { StepResult } from "../plan/step-result.js";
import { wasSkipped } from "../plan/step-results.js";
import { limitWords, valueWords } from "./number.js";

/** The verdict as one or two sentences, said when it is on disk. */
export function verdictWords(step: Step, result: StepResult): string {
  if (wasSkipped(result)) return `${sentence(result.reason ?? "")}.`;
  if (step.kind !== "measure") return plainWords(step, result);
  const found = foundWords(result);
  switch (result.verdict) {
    case "pass":
      return `Pass: ${found}.`;
    case "fail":
      return result.reason === null
        ? `Fail: ${found}. ${expectedWords(result)} ${step.means.fail}`
        : `Fail: ${found}; ${result.reason}. ${step.means.fail}`;
    case "borderline":
      return `Too close to call with this meter: ${found}. ${expectedWords(result)}`.trim();
    case "not-judged":
      return result.reason === null ? `Noted: ${found}.` : `Not judged: ${result.reason}.`;
  }
}

function plainWords(step: Step, result: StepResult): string {
  const reason = result.reason ?? "";
  if (result.verdict === "pass") return `Pass: ${reason}.`;
  if (result.verdict === "fail") return `Fail: ${reason}.`;
  return step.kind === "look" ? `Noted: ${reason}.` : "Done.";
}

function foundWords(result: StepResult): string {
  const zero = result.zero === "proved" ? ", proved" : "";
  const reversed = result.polarity === "reversed" ? ", probes reversed" : "";
  return `${valueWords(result)}${zero}${reversed}`;
}

function expectedWords({ limits, unit }: StepResult): string {
  const words = limits && limitsWords(limits, unit);
  return words ? `Expected ${words}.` : "";
}

/** "at least seventeen point five volts", "between … and …", "at most …" */
function limitsWords({ low, high }: Limits, unit: string): string | null {
  if (low !== null && high !== null)
    return `between ${limitWords(low, unit)} and ${limitWords(high, unit)}`;
  if (low !== null) return `at least ${limitWords(low, unit)}`;
  return high === null ? null : `at most ${limitWords(high, unit)}`;
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
