import { compareSection } from "./compare.js";
import { cautionSection, detailSection, notCheckedSection, notesSection } from "./detail.js";
import { markup, Markup } from "./markup.js";
import { metersSection } from "./meters.js";
import { runView, type ReportInput } from "./model.js";
import { photoSection, recordSection } from "./record.js";
import { reportStyle } from "./style.js";
import { summaryPage } from "./summary.js";

/**
 * The report as one HTML file that needs nothing else: no script, no font, no picture from outside
 * (its own content security policy forbids them). The same input gives the same bytes.
 */
export function renderReport(input: ReportInput): string {
  const run = runView(input.job);
  const { make, model, serial } = input.job.file.tool;
  const policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";
  const page = markup`<html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bench report: ${make} ${model}, ${serial}</title>
<style>${new Markup(reportStyle(input.paper))}</style></head>
<body><main>
${summaryPage(input, run)}
${compareSection(input, run)}
${detailSection(input, run)}
${metersSection(input)}
${photoSection(input.photos)}
${notesSection(run)}
${cautionSection(run)}
${notCheckedSection(run, input.conclusion.parts)}
${recordSection(input, run)}
</main></body></html>
`;
  return `<!doctype html>\n${page.text}`;
}
