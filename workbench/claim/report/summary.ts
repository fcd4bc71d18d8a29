import type { JobMeter } from "../../job/job-file.js";
import { groupedFingerprint } from "../shop-key.js";
import { markup, type Markup } from "./markup.js";
import { notChecked, type Part, type ReportInput, type RunView } from "./model.js";
import { timeOfDay } from "./numbers.js";
import { foundWords, limitWords, verdictMark, whereWords } from "./results.js";

/** The page for the impatient: which tool, what is wrong, on which measurements that rests. */
export function summaryPage(input: ReportInput, run: RunView): Markup {
  const { file } = input.job;
  return markup`<section class="first" aria-labelledby="report-title">
    ${file.practice ? practiceBanner() : null}
    <p class="kind">Bench report${input.shop === "" ? null : markup` of ${input.shop}`}</p>
    <h1 id="report-title">${file.tool.make} ${file.tool.model}</h1>
    ${facts(input)}
    <h2>What is wrong</h2>${condemned(run)}
    <h2>What that rests on</h2>${keyTable(input, run)}
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

function condemned(run: RunView): Markup {
  const parts = run.conclusion?.parts ?? [];
  const bad = parts.filter(({ state }) => state === "condemned");
  const open = parts.filter(({ state }) => state === "suspect");
  const words = run.conclusion?.words ?? "";
  if (bad.length + open.length === 0) {
    return markup`<p>${words === "" ? "No part was condemned." : words}</p>`;
  }
  return markup`${words === "" ? null : markup`<p>${words}</p>`}<ul class="parts">
    ${bad.map((part) => partItem(part, "Condemned"))}${open.map((part) => partItem(part, "Suspect"))}</ul>`;
}

function partItem(part: Part, word: string): Markup {
  const odds = part.odds === null ? "" : ` (${Math.round(part.odds * 100)} %)`;
  return markup`<li class="${part.state}"><strong>${part.label}</strong>: ${word.toLowerCase()}${odds}.
    ${part.reason ?? ""}</li>`;
}

/** Failed and close calls; where there are none, everything that passed. */
function keyTable({ job }: ReportInput, run: RunView): Markup {
  const judged = run.steps.filter(
    ({ result }) => result !== null && result.verdict !== "not-judged",
  );
  const bad = judged.filter(({ result }) => result?.verdict !== "pass");
  const rows = (bad.length > 0 ? bad : judged).slice(0, MOST_ROWS);
  if (rows.length === 0) return markup`<p>Nothing was measured that has limits.</p>`;
  const passed = judged.length - bad.length;
  const note =
    bad.length > 0 && passed > 0
      ? markup`<p class="small">${passed} more ${passed === 1 ? "check" : "checks"} passed; all are in the detail.</p>`
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

const MOST_ROWS = 8;

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
