import { markup, type Markup } from "./markup.js";
import { runView, type ReportInput, type Result, type RunView } from "./model.js";
import { timeOfDay } from "./numbers.js";
import { foundWords, limitWords, verdictMark } from "./results.js";

/** Before and after the repair, side by side. */
export function compareSection(input: ReportInput, run: RunView): Markup | null {
  const { job, before } = input;
  if (before === null) return null;
  const old = new Map(runView(before).steps.map(({ step, result }) => [step.id, result]));
  const rows = run.steps.flatMap(({ step, result }) => {
    const was = old.get(step.id) ?? null;
    if (step.kind === "do" || step.kind === "wait" || (was === null && result === null)) return [];
    return [
      markup`<tr><th scope="row">${step.title}</th>${cells(was)}${cells(result)}
        <td class="number">${limitsOf(result ?? was)}</td></tr>`,
    ];
  });
  return markup`<section aria-labelledby="compare"><h2 id="compare">Before and after repair</h2>
    <table><thead><tr><th scope="col" rowspan="2">Check</th>
    <th scope="colgroup" colspan="2">Before, ${timeOfDay(before.file.startedAt, 0)}</th>
    <th scope="colgroup" colspan="2">After, ${timeOfDay(job.file.startedAt, 0)}</th>
    <th scope="col" rowspan="2">Limits now</th></tr>
    <tr><th scope="col">Found</th><th scope="col">Verdict</th><th scope="col">Found</th><th scope="col">Verdict</th></tr></thead>
    <tbody>${rows}</tbody></table></section>`;
}

function cells(result: Result | null): Markup {
  if (result === null) return markup`<td colspan="2">not measured</td>`;
  return markup`<td class="number">${foundWords(result)}</td><td>${verdictMark(result.verdict)}</td>`;
}

function limitsOf(result: Result | null): string {
  return result === null ? "" : limitWords(result);
}
