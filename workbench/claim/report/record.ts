import { markup, type Markup } from "./markup.js";
import type { ReportInput, ReportPhoto, RunView } from "./model.js";
import { clockOf } from "./numbers.js";

const MOMENTS = {
  "on-arrival": "On arrival",
  "at-work": "At work",
  "after-repair": "After repair",
} as const;

export function photoSection(photos: readonly ReportPhoto[]): Markup | null {
  if (photos.length === 0) return null;
  return markup`<section aria-labelledby="photos"><h2 id="photos">Photos</h2><div class="photos">
    ${photos.map(
      ({ caption, moment, data, file }) => markup`<figure>
      ${data === null ? markup`<p class="small">${file} cannot be shown here; it lies in the pack.</p>` : markup`<img src="${data}" alt="${caption}">`}
      <figcaption>${MOMENTS[moment]}: ${caption}</figcaption></figure>`,
    )}</div></section>`;
}

/** What the record itself is worth: its files, and anything in it that is not whole. */
export function recordSection({ job }: ReportInput, run: RunView): Markup {
  const { journal, traces, damage, file } = job;
  const cuts = run.resumed.flatMap(({ cut, time_s }) => cut.map((each) => ({ ...each, time_s })));
  return markup`<section aria-labelledby="record"><h2 id="record">The record</h2>
    <dl class="facts">
    <div><dt>Job</dt><dd><code>${file.id}</code></dd></div>
    <div><dt>Program</dt><dd>Leadhand ${file.programVersion}</dd></div>
    <div><dt>Journal</dt><dd>${journal.lines.length} lines, each carrying the SHA-256 of the line before; of the last: <code class="fingerprint">${journal.lastHash}</code></dd></div>
    ${[...traces].map(
      ([channel, trace]) => markup`<div><dt>Trace ${channel}</dt>
      <dd>${trace.rawBytes} bytes as the meter sent them, in ${trace.chunks} pieces, ${trace.sequence} blocks with CRC-32C</dd></div>`,
    )}</dl>
    ${
      damage.length === 0
        ? markup`<p>No damage was found when this report was made.</p>`
        : markup`<p><strong>Damage was found:</strong></p><ul>${damage.map(
            ({ file: name, at, what }) => markup`<li>${name}, byte ${at}: ${what}</li>`,
          )}</ul>`
    }
    ${run.resumed.map(({ time_s }) => markup`<p class="small">${openedAgain(run, time_s)}</p>`)}
    ${cuts.map(
      ({
        file: name,
        at,
        bytes,
        time_s,
      }) => markup`<p class="small">At ${clockOf(time_s)} an unfinished
      tail of ${bytes} bytes was cut off ${name} at byte ${at}; it had never been shown as recorded.</p>`,
    )}</section>`;
}

/** After the end of the plan a job is opened for photos and notes; before it, the run goes on. */
function openedAgain({ finished }: RunView, time_s: number): string {
  return finished !== null && time_s > finished.time_s
    ? `The job was opened again at ${clockOf(time_s)}, after the plan had been run to its end.`
    : `The run was interrupted and went on at ${clockOf(time_s)}.`;
}
