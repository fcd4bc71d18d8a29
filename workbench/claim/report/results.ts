import type { Plan } from "../../plan/schema.js";
import type { Detail } from "../../measurement/watch.js";
import { markup, type Markup } from "./markup.js";
import { VERDICT_WORDS, type Result, type StepView } from "./model.js";
import { inScale, limitsInScale, scaleFor, uncertaintyInScale, type Scale } from "./numbers.js";

/** One prefix for everything that is said of a result, so that its numbers compare by eye. */
export function scaleOf(result: Result): Scale {
  const sizes = [result.value, result.limits?.low, result.limits?.high];
  const largest = sizes.reduce<number>((most, size) => Math.max(most, Math.abs(size ?? 0)), 0);
  return scaleFor(result.unit, largest, result.resolution);
}

/** "15.62 V ± 0.09 V", "over range", or what was chosen. */
export function foundWords(result: Result): string {
  if (result.overload !== false) {
    return result.overload === "negative" ? "over range, negative" : "over range (open)";
  }
  if (result.value === null) return result.reason ?? "no value";
  const scale = scaleOf(result);
  const value = `${inScale(result.value, scale)} ${scale.unit}`.trim();
  if (result.uncertainty === null) return value;
  return `${value} ± ${uncertaintyInScale(result.uncertainty, scale)} ${scale.unit}`.trim();
}

export function limitWords(result: Result): string {
  return result.limits === null ? "none" : limitsInScale(result.limits, scaleOf(result));
}

/** Where the probes were, by the labels of the plan. */
export function whereWords(plan: Plan, { step }: StepView): string {
  if (step.kind !== "measure") return step.kind === "look" ? "by eye" : "";
  const label = (id: string): string => plan.points.find((point) => point.id === id)?.label ?? id;
  return `red on ${label(step.red)}, black on ${label(step.black)}`;
}

/** The verdict as a word, with a shape that survives a black-and-white copy. */
export function verdictMark(verdict: Result["verdict"]): Markup {
  return markup`<span class="verdict ${verdict}">${VERDICT_WORDS[verdict]}</span>`;
}

/** The figures beside the value: a sag's floor, plateau, recovery … */
export function detailRows(result: Result): Markup[] {
  return Object.entries(result.details).flatMap(([name, detail]) => {
    if (detail.value === null) return [];
    const u = detail.u === undefined ? "" : detailUncertainty(detail.u, detail);
    return [
      markup`<tr><th scope="row">${nameWords(name)}</th>
      <td class="number">${detailValue(detail.value, detail.unit)}</td>
      <td class="number">${u}</td><td>${detail.note ?? ""}</td></tr>`,
    ];
  });
}

/** The figures that the readings do not give, each with why; "" where they give all. */
export function unknownWords(result: Result): string {
  const reasons = new Map<string, string[]>();
  for (const [name, { value, note }] of Object.entries(result.details)) {
    if (value !== null) continue;
    const why = note ?? "";
    reasons.set(why, [...(reasons.get(why) ?? []), nameWords(name).toLowerCase()]);
  }
  return [...reasons]
    .map(([why, names]) => `${names.join(", ")}${why === "" ? "" : ` (${why})`}`)
    .join("; ");
}

function detailValue(value: number, unit: string): string {
  if (unit === "s" && Math.abs(value) < 1) return `${(value * 1000).toFixed(1)} ms`;
  if (unit === "" && Number.isInteger(value)) return String(value);
  const scale = scaleFor(unit, value, Math.abs(value) / 1000 || null);
  return `${inScale(value, scale)} ${scale.unit}`.trim();
}

/** In the prefix of the value it belongs to, so that the two compare by eye. */
function detailUncertainty(u: number, { value, unit }: Detail): string {
  const size = Math.abs(value ?? u);
  if (unit === "s" && size < 1) return `${(u * 1000).toFixed(1)} ms`;
  const scale = scaleFor(unit, size, u / 10 || null);
  return `${uncertaintyInScale(u, scale)} ${scale.unit}`.trim();
}

/** "internalResistance", "internal_resistance", "internal-resistance" → "Internal resistance" */
export function nameWords(name: string): string {
  const words = name
    .replaceAll(/([a-z])([A-Z])/g, "$1 $2")
    .replaceAll(/[-_]/g, " ")
    .toLowerCase();
  return words.charAt(0).toUpperCase() + words.slice(1);
}
