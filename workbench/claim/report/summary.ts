import type { JobMeter } from "../../job/job-file.js";
import { groupedFingerprint } from "../shop-key.js";
import { markup, type Markup } from "./markup.js";
import { isClearedInPart, notChecked, type Part, type ReportInput, type RunView } from "./model.js";
import { timeOfDay } from "./numbers.js";
import { stepPlots } from "./step-plot.js";
import { foundWords, limitWords, verdictMark, whereWords } from "./results.js";

/** The page for the impatient: which tool, what is wrong, on which measurements that rests. */
export function summaryPage(input: ReportInput, run: RunView): Markup {
  const { file } = input.job;
  return markup`<section class="first" aria-labelledby="report-title">
    ${file.practice ? practiceBanner() : null}
    <p class="kind">Bench report${input.shop === "" ? null : markup` of ${input.shop}`}</p>
    <h1 id="report-title">${file.tool.make} ${file.tool.model}</h1>
    ${facts(input)}
    <h2>What is wrong</h2>${condemned(input.conclusion)}
    <h2>What that rests on</h2>${keyTable(input, run)}${keyPlot(input, run)}
    ${decision(run)}
    <p class="small">${missing(run)} ${check(input)}</p>
  </section>`;
}

function practiceBanner(): Markup {
  return markup`<p class="banner"><strong>Practice.</strong> The tool was simulated. Nothing in this report is evidence.</p>`;
}

function facts({ job, customer }: ReportInput): Markup {
  const { tool, startedAt, meters } = job.file;
  const warranty = { warranty: "under warranty", paid: "paid repair", unknown: "not stated" };
  return markup`<dl class="facts">
    ${fact("Serial number", tool.serial)}${fact("Complaint", tool.complaint)}
    ${fact("Cover", warranty[tool.warranty])}
    ${tool.condition === "" ? null : fact("Condition on arrival", tool.condition)}
    ${fact("On the bench", timeOfDay(startedAt, 0))}
    ${fact("Measured with", meters.map(meterWords).join("; "))}
    ${customer === null || customer.name === "" ? null : fact("Customer", [customer.name, customer.reference].filter(Boolean).join(", "))}
  </dl>`;
}

function meterWords({ title, address, calibratedOn }: JobMeter): string {
  const name = title === "" ? address : title;
  return calibratedOn === null
    ? `${name}, calibration not stated`
    : `${name}, calibrated ${calibratedOn}`;
}

function fact(term: string, value: string): Markup {
  return markup`<div><dt>${term}</dt><dd>${value === "" ? "not stated" : value}</dd></div>`;
}

function condemned({ words, parts, derived }: ReportInput["conclusion"]): Markup {
  const bad = parts.filter(({ state }) => state === "condemned");
  const open = parts
    .filter(({ state }) => state === "suspect")
    .sort((a, b) => (b.odds ?? 0) - (a.odds ?? 0));
  const origin = derived
    ? markup`<p class="small">Worked out from the recorded results when this report was made.</p>`
    : null;
  return markup`<p>${words}</p>
    ${
      bad.length + open.length === 0
        ? null
        : markup`<ul class="parts">
    ${bad.map((part) => partItem(part, "condemned"))}
    ${open.slice(0, MOST_SUSPECTS).map((part) => partItem(part, "suspect"))}</ul>`
    }${clearedWords(parts)}${origin}`;
}

/** The other parts in one line; of those cleared in part the detail says what was not tested. */
function clearedWords(parts: readonly Part[]): Markup | null {
  const named = (of: readonly Part[]): string => of.map(({ label }) => label).join(", ");
  const cleared = parts.filter(({ state }) => state === "cleared");
  const inPart = parts.filter((part) => isClearedInPart(part));
  const words = [
    cleared.length > 0 ? `Cleared: ${named(cleared)}.` : "",
    inPart.length > 0 ? `Cleared in part: ${named(inPart)}; see “What was not checked”.` : "",
  ].filter(Boolean);
  return words.length === 0 ? null : markup`<p class="small">${words.join(" ")}</p>`;
}

const MOST_SUSPECTS = 5;

function partItem(part: Part, word: string): Markup {
  // The reason begins with the state; where there is none, the state is all there is to say.
  return markup`<li class="${part.state}"><strong>${part.label}</strong>${oddsOf(part)}:
    ${part.reason ?? `${word}.`}</li>`;
}

/** Nothing is certain: odds are told no finer than they can be. */
function oddsOf({ odds }: Part): string {
  if (odds === null) return "";
  if (odds > 0.995) return " (over 99 %)";
  return odds < 0.005 ? " (under 1 %)" : ` (${Math.round(odds * 100)} %)`;
}

/** Failed and close calls; where there are none, everything that passed. */
function keyTable({ job }: ReportInput, run: RunView): Markup {
  const judged = run.steps.filter(
    ({ result }) => result !== null && result.verdict !== "not-judged",
  );
  const bad = judged.filter(({ result }) => result?.verdict !== "pass");
  const rows = bad.length > 0 ? bad.slice(0, MOST_ROWS) : judged.slice(0, MOST_PASSED);
  if (rows.length === 0) return markup`<p>Nothing was measured that has limits.</p>`;
  const passed = judged.length - bad.length;
  const more = passed - (bad.length > 0 ? 0 : rows.length);
  const note =
    more > 0
      ? markup`<p class="small">${more} more ${more === 1 ? "check" : "checks"} passed; all are in the detail.</p>`
      : null;
  return markup`<table><thead><tr><th scope="col">Check</th><th scope="col">Where</th>
    <th scope="col">Found</th><th scope="col">Limits</th><th scope="col">Verdict</th></tr></thead><tbody>
    ${rows.map((view) =>
      view.result === null
        ? null
        : markup`<tr class="${view.result.verdict}"><th scope="row">${view.step.title}</th>
        <td>${whereWords(job.file.plan, view)}</td><td class="number">${foundWords(view.result)}</td>
        <td class="number">${limitWords(view.result)}</td><td>${verdictMark(view.result.verdict)}</td></tr>`,
    )}</tbody></table>${note}`;
}

const MOST_ROWS = 7;
/** Where all passed, a few stand for the others: the page is for the impatient. */
const MOST_PASSED = 5;

/** The course that decided: of the first check that did not pass, else of the first that has one. */
function keyPlot(input: ReportInput, run: RunView): Markup | null {
  const drawn = run.steps.filter(({ step }) => input.traces.has(step.id));
  const decisive = drawn.find(({ result }) => result?.verdict !== "pass") ?? drawn[0];
  return decisive === undefined ? null : (stepPlots(input, decisive, "summary")[0] ?? null);
}

function decision({ decision: made }: RunView): Markup | null {
  if (made === null) return null;
  const words = {
    repair: "Repair",
    replace: "Replace the tool",
    "return-as-is": "Return as it is",
    hold: "Hold",
  };
  const parts = made.parts.map(({ label, price }) =>
    price === null ? label : `${label} (${price.toFixed(2)})`,
  );
  return markup`<h2>Decision</h2><p><strong>${words[made.choice]}.</strong> ${made.words}
    ${parts.length > 0 ? `Parts: ${parts.join(", ")}.` : ""}</p>`;
}

function missing(run: RunView): string {
  const open = notChecked(run).length;
  if (open === 0) return "Every check of the plan was made.";
  return `${open} ${open === 1 ? "check of the plan was" : "checks of the plan were"} not made; see “What was not checked”.`;
}

function check({ fingerprint }: ReportInput): Markup | null {
  if (fingerprint === null) return null;
  return markup`This report lies in a signed pack; HOW-TO-CHECK.txt beside it tells how to check
    everything without this program. Fingerprint of the shop's key:
    <code class="fingerprint">${groupedFingerprint(fingerprint)}</code>.`;
}
