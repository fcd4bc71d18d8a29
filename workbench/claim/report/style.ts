/** For screen and paper. Shape and word carry the verdict; colour only supports. */
export function reportStyle(paper: "A4" | "Letter"): string {
  return `
@page { size: ${paper}; margin: 16mm 15mm 18mm;
  @bottom-left { content: "Leadhand bench report"; font: 8pt sans-serif; color: #555; }
  @bottom-right { content: counter(page) " of " counter(pages); font: 8pt sans-serif; color: #555; } }
:root { color-scheme: light; --ink: #16191d; --soft: #4d545c; --rule: #b9c0c7; --bad: #9b1c1c; --good: #1d5c35; --now: #1f4e8c; }
* { box-sizing: border-box; }
body { font: 10.5pt/1.4 "Atkinson Hyperlegible Next", "Atkinson Hyperlegible", system-ui, "Segoe UI", "DejaVu Sans", sans-serif;
  color: var(--ink); background: #fff; margin: 0 auto; max-width: 52rem; padding: 1.5rem; font-variant-numeric: tabular-nums; }
h1 { font-size: 1.9em; margin: 0 0 .3em; line-height: 1.15; }
h2 { font-size: 1.2em; margin: 1.3em 0 .4em; padding-top: .35em; border-top: 2px solid var(--ink); }
h3 { font-size: 1.05em; margin: 1em 0 .3em; }
p { margin: .3em 0 .6em; }
.kind { margin: 0; color: var(--soft); }
.banner { border: 3px solid var(--ink); padding: .5em .8em; }
.small { font-size: .86em; color: var(--soft); }
.facts { display: grid; grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr)); gap: .25em 1.4em; margin: .4em 0; }
.facts div { break-inside: avoid; } dt { font-size: .82em; color: var(--soft); } dd { margin: 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; margin: .5em 0; }
table.narrow { width: auto; min-width: 60%; }
caption { text-align: left; font-size: .86em; color: var(--soft); }
th, td { text-align: left; vertical-align: top; padding: .28em .7em .28em 0; border-bottom: 1px solid var(--rule); }
thead th { font-size: .86em; border-bottom: 1.5px solid var(--ink); vertical-align: bottom; }
tbody th { font-weight: 600; }
tr { break-inside: avoid; }
.number { white-space: nowrap; }
.verdict { white-space: nowrap; font-weight: 700; padding: 0 .35em; border: 1.5px solid transparent; }
.verdict.pass { color: var(--good); border-bottom-color: var(--good); }
.verdict.fail { color: #fff; background: var(--bad); border-color: var(--bad); -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.verdict.borderline { border: 1.5px dashed var(--ink); }
.verdict.not-judged { color: var(--soft); font-weight: 400; }
.parts { padding-left: 0; list-style: none; } .parts li { margin: .35em 0; padding-left: .8em; border-left: 5px solid var(--rule); break-inside: avoid; }
.parts .condemned { border-left-color: var(--bad); } .parts .suspect { border-left-style: dashed; border-left-color: var(--ink); }
.step { border-left: 5px solid var(--rule); padding-left: .9em; margin: 1em 0; }
.step.fail { border-left-color: var(--bad); } .step.borderline { border-left-style: dashed; border-left-color: var(--ink); }
.step h3 { margin-top: 0; break-after: avoid; }
h2, h3 { break-after: avoid; }
figure { margin: .6em 0; break-inside: avoid; } figcaption { font-size: .86em; color: var(--soft); }
.plot { width: 100%; height: auto; display: block; }
.plot .grid { stroke: #e1e5e9; stroke-width: 1; } .plot .frame { fill: none; stroke: var(--soft); stroke-width: 1; }
.plot text { font-size: 12px; fill: var(--ink); } .plot .tick { fill: var(--soft); } .plot .axis { font-weight: 600; }
.plot .mark { stroke: var(--ink); stroke-width: 1; stroke-dasharray: 2 4; } .plot .lead { fill: none; stroke: var(--soft); stroke-width: .8; }
.plot .series { fill: none; stroke: var(--now); stroke-width: 1.6; stroke-linejoin: round; }
.plot .s1 { stroke: var(--bad); stroke-dasharray: 7 4; }
.photos { display: grid; grid-template-columns: repeat(2, 1fr); gap: 1em; } .photos img { width: 100%; max-height: 22rem; object-fit: contain; background: #f2f4f6; }
code { font-family: ui-monospace, "DejaVu Sans Mono", monospace; font-size: .88em; overflow-wrap: anywhere; }
@media print { body { max-width: none; padding: 0; font-size: 9.5pt; line-height: 1.3; }
  .step { break-inside: avoid; margin: .7em 0; } .step .facts { grid-template-columns: repeat(3, 1fr); gap: .1em 1.2em; }
  .first .plot { max-height: 62mm; } .step .plot { max-height: 68mm; }
  .first { break-after: page; } a { color: inherit; } }
`;
}
