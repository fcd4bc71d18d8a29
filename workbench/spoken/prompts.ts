import { KNOWN_SOURCE } from "../contract/plan-choices.js";
import type { DialPosition } from "../measurement/watch.js";
import type { RunPrompt } from "../plan/run-event.js";
import type { Plan, Step } from "../plan/schema.js";

const COUPLING_WORDS = { dc: "DC ", ac: "AC ", "ac+dc": "AC plus DC " } as const;
const FUNCTION_WORDS = {
  voltage: "volts",
  current: "amps",
  resistance: "ohms",
  continuity: "continuity",
  diode: "diode test",
  capacitance: "capacitance",
  frequency: "frequency",
  duty: "duty cycle",
  temperature: "temperature",
  power: "power",
  gain: "gain",
  unspecified: "an unknown function",
} as const;
const FLAG_WORDS = {
  hold: "Switch HOLD off: the meter's number stands still.",
  relative: "Switch REL off: the meter shows a difference.",
  "low-battery": "The meter's battery is low: change it, then go on.",
  min: "Switch MIN off: the meter shows an old value.",
  max: "Switch MAX off: the meter shows an old value.",
} as const;

function dialWords(dial: DialPosition): string {
  const coupling = dial.coupling === null ? "" : COUPLING_WORDS[dial.coupling];
  return `${coupling}${FUNCTION_WORDS[dial.quantity]}`;
}

/** What is said for a prompt. `again` repeats `last`, the words before it. */
export function promptWords(prompt: RunPrompt, plan: Plan, step: Step, last: string): string {
  switch (prompt.kind) {
    case "turn-dial":
      return `Turn the dial to ${dialWords(prompt.to)}; it is on ${dialWords(prompt.from)}.`;
    case "clear-flag":
      return FLAG_WORDS[prompt.flag];
    case "show-known-source":
      return `To prove the meter, touch the known source${knownSource(plan)}.`;
    case "return":
      return step.kind === "measure" ? `Back: ${pointsWords(plan, step)}.` : "Back to the points.";
    case "confirm":
      return `When it is done, go on to the next points, or ${YES_WORDS[prompt.by]}.`;
    case "choose":
      if (step.kind !== "look") return "";
      return `${prompt.unclear ? UNCLEAR : ""}${chooseWords(step.choices, YES_WORDS[prompt.by])}`;
    case "again":
      return last;
    case "reseat":
    case "touch-together":
    case "squeeze":
    case "release":
    case "turn-shaft":
    case "meter-lost":
    case "meter-back":
      return PLAIN[prompt.kind];
  }
}

const PLAIN = {
  reseat: "Nothing there. Lift both probes and touch the same points again.",
  "touch-together": "To prove the meter, touch the probe tips together.",
  squeeze: "Squeeze the trigger and hold it.",
  release: "Let go of the trigger.",
  "turn-shaft": "Turn the shaft slowly by hand.",
  "meter-lost": "No more readings from the meter. Check its cable, its battery and its settings.",
  "meter-back": "The meter is back. Touch the points again.",
} as const;

/** "red on pack plus, black on pack minus" */
function pointsWords(plan: Plan, step: { readonly red: string; readonly black: string }): string {
  return `red on ${pointLabel(plan, step.red)}, black on ${pointLabel(plan, step.black)}`;
}

export function pointLabel(plan: Plan, id: string): string {
  return plan.points.find((point) => point.id === id)?.label ?? id;
}

function knownSource(plan: Plan): string {
  const points = plan.points.filter(({ part }) => part === KNOWN_SOURCE);
  return points.length === 0 ? "" : `: ${points.map(({ label }) => label).join(" and ")}`;
}

const TIMES = ["once", "twice", "three times", "four times", "five times"];

const YES_WORDS = {
  "known-source": "touch the known source",
  together: "touch the probe tips together",
} as const;

const UNCLEAR = "That touch was not clear. Once more: ";

function chooseWords(choices: readonly { readonly label: string }[], touch: string): string {
  const listed = choices.map(({ label }, at) => `${TIMES[at] ?? `${at + 1} times`} for ${label}`);
  return `${touch.charAt(0).toUpperCase()}${touch.slice(1)}: ${listed.join(", ")}.`;
}
