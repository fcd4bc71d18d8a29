import { calibrationExpired, type AccuracyLine } from "../../measurement/accuracy.js";
import type { JobMeter } from "../../job/job-file.js";
import { markup, type Markup } from "./markup.js";
import type { ReportInput } from "./model.js";
import { inScale, scaleFor } from "./numbers.js";

/** The meters, their calibration, and how a verdict was reached. */
export function metersSection({ job }: ReportInput): Markup {
  const { meters, startedAt } = job.file;
  return markup`<section aria-labelledby="meters"><h2 id="meters">Meters and rules</h2>
    ${meters.map((meter) => meterBlock(meter, startedAt.slice(0, 10)))}
    <h3>How a value is judged</h3>
    <p>The uncertainty of a value combines what the meter's accuracy table allows, the size of one
    count and the spread of the readings that were held (GUM, JCGM 100:2008), and is given expanded by
    the coverage factor k. With the guarded rule a value passes only where it lies inside the limits by
    at least its uncertainty, fails only where it lies outside by at least that much, and is too close
    to call between (JCGM 106:2012, ILAC-G8:09/2019). With simple acceptance the limits alone decide.
    The risk is the probability that the verdict is wrong.</p></section>`;
}

function meterBlock(meter: JobMeter, onDay: string): Markup {
  return markup`<h3>Meter ${meter.channel}: ${meter.title || meter.address}</h3><dl class="facts">
    ${fact("Serial number", meter.serial || "not stated")}
    ${fact("Calibrated", calibration(meter, onDay))}
    ${meter.certificate === null ? null : fact("Certificate", meter.certificate)}
    ${fact("Read over", `${meter.address} (protocol ${meter.protocol})`)}</dl>
    ${meter.accuracy === null ? noAccuracy() : accuracyTable(meter.accuracy.lines)}`;
}

function fact(term: string, value: string): Markup {
  return markup`<div><dt>${term}</dt><dd>${value}</dd></div>`;
}

function calibration(meter: JobMeter, onDay: string): string {
  const { accuracy } = meter;
  const on = meter.calibratedOn ?? accuracy?.calibrated ?? null;
  if (on === null) return "date not stated; treat the uncertainty with reserve";
  const due = meter.calibrationDue;
  if (due === null) return `${on}; ${validityWords(accuracy, onDay)}`;
  return due < onDay ? `${on}; was due on ${due}, before this job` : `${on}; due on ${due}`;
}

/** Where no due date was stated, the accuracy table says how long it holds. */
function validityWords(accuracy: JobMeter["accuracy"], onDay: string): string {
  if (accuracy?.calibrated == null) return "due date not stated";
  const months = `the accuracy table holds for ${accuracy.valid_months} months`;
  return calibrationExpired(accuracy, onDay)
    ? `${months}, which were over on the day of this job`
    : months;
}

function noAccuracy(): Markup {
  return markup`<p class="small">No accuracy table was entered for this meter: the uncertainty knows
    only the size of one count and the spread of the readings.</p>`;
}

function accuracyTable(lines: readonly AccuracyLine[]): Markup {
  return markup`<table class="narrow"><caption>Accuracy as its manual states it</caption><thead><tr>
    <th scope="col">Function</th><th scope="col">Range</th><th scope="col">± (of reading + counts)</th></tr></thead>
    <tbody>${lines.map(
      (line) => markup`<tr><th scope="row">${line.quantity} ${line.coupling ?? ""}</th>
      <td>${rangeWords(line)}</td><td class="number">${line.percentOfReading} % + ${line.counts}</td></tr>`,
    )}</tbody></table>`;
}

function rangeWords(line: AccuracyLine): string {
  const unit = unitFor(line.quantity);
  if (line.upTo !== null) {
    const scale = scaleFor(unit, line.upTo, line.resolution);
    return `up to ${inScale(line.upTo, scale)} ${scale.unit}`;
  }
  if (line.resolution === null) return "any";
  const scale = scaleFor(unit, line.resolution, line.resolution);
  return `counts of ${inScale(line.resolution, scale)} ${scale.unit}`;
}

function unitFor(quantity: string): string {
  const units: Readonly<Record<string, string>> = {
    voltage: "V",
    diode: "V",
    current: "A",
    resistance: "Ω",
    continuity: "Ω",
    capacitance: "F",
    frequency: "Hz",
  };
  return units[quantity] ?? "";
}
