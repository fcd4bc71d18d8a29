import { cautionWords } from "../../plan/cautions.js";
import type { CautionKind } from "../../plan/schema.js";
import { wasSkipped } from "../../plan/step-results.js";
import { markup, type Markup } from "./markup.js";
import {
  isClearedInPart,
  notChecked,
  type Part,
  type ReportInput,
  type Result,
  type RunView,
  type StepView,
} from "./model.js";
import { clockOf, inScale, percent, timeOfDay } from "./numbers.js";
import { stepPlots } from "./step-plot.js";
import {
  detailRows,
  foundWords,
  limitWords,
  scaleOf,
  unknownWords,
  verdictMark,
  whereWords,
} from "./results.js";

/** Everything that was done, in the order of the plan. */
export function detailSection(input: ReportInput, run: RunView): Markup {
  const reached = run.steps.filter((view) => view.result !== null);
  return markup`<section aria-labelledby="detail"><h2 id="detail">Check by check</h2>
    <p class="small">Plan: ${input.job.file.plan.title}, revision ${input.job.file.plan.revision}.
    Times are minutes and seconds since ${timeOfDay(input.job.file.startedAt, 0)}.</p>
    ${reached.map((view) => stepBlock(input, view))}</section>`;
}

function stepBlock(input: ReportInput, view: StepView): Markup | null {
  const { step, result, number } = view;
  if (result === null) return null;
  if (step.kind === "do" || step.kind === "wait") {
    // What was skipped was not done: its instruction would read as if it had been.
    const words = wasSkipped(result) ? `Not done: ${result.reason ?? ""}.` : step.instruction;
    return markup`<p class="done"><strong>${number}. ${step.title}.</strong> ${words}
      <span class="small">${clockOf(result.ended_s)}</span></p>`;
  }
  return markup`<article class="step ${result.verdict}"><h3>${number}. ${step.title}
    ${verdictMark(result.verdict)}</h3>
    <p>${step.instruction}</p>
    <dl class="facts">${stepFacts(input, view, result)}</dl>
    ${step.kind === "look" ? null : detailTable(result)}${stepPlots(input, view)}${earlierAttempts(view)}</article>`;
}

function stepFacts(input: ReportInput, view: StepView, result: Result): (Markup | null)[] {
  const { step } = view;
  const means =
    step.kind === "measure" && (result.verdict === "pass" || result.verdict === "fail")
      ? step.means[result.verdict]
      : "";
  const source = step.kind === "measure" ? (step.limits?.source ?? "") : "";
  return [
    fact("Found", foundWords(result)),
    fact("Limits", result.limits === null ? "" : `${limitWords(result)} (${source})`),
    fact("Where", whereWords(input.job.file.plan, view)),
    fact("Condition", step.kind === "measure" ? conditionWords(step.condition) : ""),
    fact("Decision rule", ruleWords(result)),
    fact("Risk that the verdict is wrong", result.risk === null ? "" : percent(result.risk)),
    fact("Not in the uncertainty", result.doubt ?? ""),
    fact("Probes", result.polarity === "reversed" ? "were reversed; the sign was turned" : ""),
    fact("Zero", zeroWords(result)),
    fact("One count of the meter", countWords(result)),
    fact("Means", means),
    fact("Note", result.value === null || result.reason === null ? "" : result.reason),
    fact("Time", `${clockOf(result.started_s)} to ${clockOf(result.ended_s)}`),
  ];
}

function fact(term: string, value: string): Markup | null {
  return value === "" ? null : markup`<div><dt>${term}</dt><dd>${value}</dd></div>`;
}

function conditionWords(condition: Readonly<Record<string, string>>): string {
  return Object.entries(condition)
    .map(([what, state]) => `${what} ${state.replaceAll("-", " ")}`)
    .join(", ");
}

function ruleWords({ rule, k }: Result): string {
  if (rule === null) return "";
  const factor = k === null ? "" : `, coverage factor k = ${k.toFixed(2).replace(/\.?0+$/, "")}`;
  return rule === "guarded" ? `guarded by the uncertainty${factor}` : `simple acceptance${factor}`;
}

function zeroWords({ zero }: Result): string {
  if (zero === null) return "";
  return zero === "proved" ? "proved by reseating and a known source" : "accepted as it came";
}

function countWords(result: Result): string {
  if (result.resolution === null || result.unit === "") return "";
  const scale = scaleOf(result);
  return `${inScale(result.resolution, scale)} ${scale.unit}`;
}

function detailTable(result: Result): Markup | null {
  const rows = detailRows(result);
  const unknown = unknownWords(result);
  const missing = unknown === "" ? null : markup`<p class="small">Not known: ${unknown}.</p>`;
  if (rows.length === 0) return missing;
  return markup`<table class="narrow"><thead><tr><th scope="col">Figure</th><th scope="col">Value</th>
    <th scope="col">Standard uncertainty</th><th scope="col">Remark</th></tr></thead><tbody>${rows}</tbody></table>${missing}`;
}

function earlierAttempts({ earlier }: StepView): Markup | null {
  if (earlier.length === 0) return null;
  return markup`<p class="small">Measured before and repeated: ${earlier
    .map((result) => `${foundWords(result)} at ${clockOf(result.ended_s)}`)
    .join("; ")}.</p>`;
}

export function cautionSection(run: RunView): Markup {
  const items = run.cautions.map(
    ({ kind, time_s }) =>
      markup`<li>${cautionWords(kind as CautionKind)} <span class="small">First shown at ${clockOf(time_s)}.</span></li>`,
  );
  return markup`<section aria-labelledby="cautions"><h2 id="cautions">Cautions that were shown</h2>
    ${items.length === 0 ? markup`<p>No step of the plan that was reached calls for one.</p>` : markup`<ul>${items}</ul>`}
    <p class="small">Local codes and licensed practice come first.</p></section>`;
}

export function notCheckedSection(run: RunView, parts: readonly Part[]): Markup {
  const items = notChecked(run);
  const inPart = parts.filter((part) => isClearedInPart(part));
  return markup`<section aria-labelledby="not-checked"><h2 id="not-checked">What was not checked</h2>
    ${
      items.length === 0
        ? markup`<p>Every check of the plan was made and judged. What the plan does not ask for was not looked at.</p>`
        : markup`<ul>${items.map(({ title, why }) => markup`<li><strong>${title}.</strong> ${why}</li>`)}</ul>`
    }${
      inPart.length === 0
        ? null
        : markup`<p>Cleared in part: the readings rule out some faults of these parts and did not test the others.</p>
    <ul>${inPart.map(({ label, reason }) => markup`<li><strong>${label}.</strong> ${reason ?? ""}</li>`)}</ul>`
    }</section>`;
}

export function notesSection(run: RunView): Markup | null {
  if (run.notes.length === 0) return null;
  return markup`<section aria-labelledby="notes"><h2 id="notes">Notes</h2><ul>
    ${run.notes.map(({ words, time_s }) => markup`<li>${words} <span class="small">${clockOf(time_s)}</span></li>`)}</ul></section>`;
}
