import type { RecordedResult, StepOutline } from "../../workbench/contract/events.js";
import type { Limits } from "../store/state.js";
import { figureText } from "./figures.js";

export type Verdict = RecordedResult["verdict"];

const WORDS: Readonly<Record<Verdict, string>> = {
  pass: "PASS",
  fail: "FAIL",
  borderline: "BORDERLINE",
  "not-judged": "NOT JUDGED",
};

/** A step that only had something done has no verdict: it is done, or it was skipped. */
export function verdictWord(
  { verdict, reason }: Pick<RecordedResult, "verdict" | "reason">,
  kind: StepOutline["kind"] = "measure",
): string {
  const toDo = kind === "do" || kind === "wait";
  if (verdict !== "not-judged" || !toDo) return WORDS[verdict];
  return reason?.startsWith("skipped") === true ? "SKIPPED" : "DONE";
}

/** A look or a do step has no figure. */
export function isMeasured({ value, overload }: RecordedResult): boolean {
  return value !== null || overload !== false;
}

/** The limits as a person says them. */
export function expectedWords(
  limits: Limits | null,
  unit: string,
  resolution: number | null = null,
): string {
  const text = (value: number): string => figureText(value, unit, resolution);
  const { low, high } = limits ?? { low: null, high: null };
  if (low !== null && high !== null) return `${text(low)} to ${text(high)}`;
  if (low !== null) return `at least ${text(low)}`;
  return high === null ? "no limits" : `at most ${text(high)}`;
}

/** The value found, with its uncertainty where that is known. */
export function foundWords(result: RecordedResult): string {
  if (result.value === null) {
    if (result.overload === false) return "no value";
    return result.unit === "Ω" ? "open circuit (over range)" : "over range";
  }
  const value = figureText(result.value, result.unit, result.resolution);
  if (result.uncertainty === null) return value;
  return `${value} \u00b1 ${uncertaintyText(result.uncertainty, result)}`;
}

/** In the places of the value where those show anything of it, else in two figures. */
function uncertaintyText(uncertainty: number, { unit, resolution }: RecordedResult): string {
  const shows = resolution !== null && uncertainty >= resolution;
  return figureText(uncertainty, unit, shows ? resolution : null, 2);
}

/** A smaller risk of a wrong verdict is in the record, but not worth reading at the bench. */
const WORTH_SAYING = 0.001;

/** What else is to be known about the figure: polarity, how a zero was proved, the risk. */
export function remarks(result: RecordedResult): readonly string[] {
  const said: string[] = [];
  if (result.polarity === "reversed") said.push("probes reversed");
  if (result.zero === "proved") said.push(result.value === null ? "open proved" : "zero proved");
  if (result.zero === "accepted") said.push("zero taken as read");
  if (result.verdict === "borderline") said.push("too close to call with this meter");
  if (result.risk !== null && result.risk >= WORTH_SAYING)
    said.push(`risk of a wrong verdict ${shareText(result.risk)}`);
  if (result.doubt !== null) said.push(result.doubt);
  if (result.reason !== null) said.push(result.reason);
  return said;
}

/** A probability in per cent; never 0 or 100 unless it is. */
export function shareText(share: number): string {
  const percent = "\u202f%";
  if (share > 0 && share < 0.001) return `under 0.1${percent}`;
  if (share < 1 && share > 0.999) return `over 99.9${percent}`;
  const places = share < 0.1 || share > 0.9 ? 1 : 0;
  return `${Number((share * 100).toFixed(places))}${percent}`;
}
