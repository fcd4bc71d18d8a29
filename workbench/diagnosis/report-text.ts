import type { PointsList } from "./points-list.js";
import type { PartState } from "./reasons.js";
import type { Report } from "./report.js";
import { oddsWords } from "./words.js";

/** The report as lines for a person. */
export function reportLines(report: Report): string[] {
  return [
    ...headline(report),
    "",
    "What can be at fault:",
    ...report.candidates.map(
      ({ parts, faults, odds }) =>
        `  ${oddsWords(odds).padStart(10)}  ${
          parts.length === 0 ? "nothing" : faults.map((fault) => fault.words).join("; and ")
        }`,
    ),
    "",
    "Power path:",
    ...report.parts.map(
      ({ label, state, tested, odds, reason }) =>
        `  ${label.padEnd(20)} ${stateWord(state, tested).padEnd(15)} ${oddsWords(odds).padStart(9)}  ${reason ?? ""}`,
    ),
    ...report.doubts.map((doubt) => `\nDoubtful reading: ${doubt.words}`),
    "",
    ...nextLines(report),
  ];
}

/** What was not measured is not said to be sound. */
function stateWord(state: PartState, tested: number): string {
  return state === "unknown" && tested > 0 ? "cleared in part" : state;
}

function headline({ settled, candidates, furtherFault }: Report): string[] {
  const first = candidates[0];
  const names =
    first === undefined || first.parts.length === 0 ? "nothing" : first.parts.join(", ");
  const further = `a further fault: ${oddsWords(furtherFault)}`;
  return settled
    ? [`Settled: ${names} at fault (${oddsWords(first?.odds ?? 0)}; ${further}).`]
    : [`Not settled: ${names} most likely (${oddsWords(first?.odds ?? 0)}; ${further}).`];
}

function nextLines({ settled, next }: Report): string[] {
  if (settled) return ["Nothing more needs to be measured."];
  if (next === null) return ["Nothing that may be measured here would tell more."];
  return [
    `Next: ${next.words}`,
    ...next.outcomes.map(
      ({ outcome, probability, words }) =>
        `  ${outcome} (${oddsWords(probability)}): points to ${words}`,
    ),
  ];
}

/** Points, conditions and observations as lines for a person. */
export function pointsLines(list: PointsList): string[] {
  const row = (id: string, words: string): string => `  ${id.padEnd(24)} ${words}`;
  return [
    `${list.title} (${list.kind})`,
    "",
    'Points ("red" and "black" of a reading):',
    ...list.points.map(({ id, label, reach }) => row(id, `${label}; ${reach}`)),
    "",
    'Conditions ("condition" of a reading):',
    ...list.conditions.map(({ id, label }) => row(id, label)),
    "",
    'Observations (entries of "observations"):',
    ...list.observations.map(({ id, label, values }) => row(id, `${label}: ${values.join(", ")}`)),
    "",
    'Tool (entries of "tool"):',
    ...Object.entries(list.tool).map(([id, words]) => row(id, words)),
    "",
    'A reading (entry of "readings"):',
    ...Object.entries(list.reading).map(([id, words]) => row(id, words)),
    "",
    "Parts and their faults:",
    ...list.parts.map(({ id, label, faults }) => row(id, `${label}: ${faults.join(", ")}`)),
    "",
    "Example:",
    ...JSON.stringify(list.example, null, 2).split("\n"),
  ];
}
