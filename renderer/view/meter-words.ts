import type { MeterStatus } from "../../workbench/contract/events.js";
import type { Reading } from "../store/state.js";

export type MeterState = MeterStatus["state"];

interface StateWords {
  /** One or two words, for the sign beside the reading. */
  readonly sign: string;
  /** What to do, where the bench sent no advice of its own. */
  readonly advice: string;
}

const WORDS: Readonly<Record<MeterState, StateWords>> = {
  absent: { sign: "No meter", advice: "Plug the meter in or switch its radio on." },
  opening: { sign: "Opening", advice: "The meter is being opened." },
  silent: { sign: "Silent", advice: "Switch the meter on, and its data output with it." },
  unreadable: {
    sign: "Unreadable",
    advice: "Bytes arrive, but no reading. Check protocol and baud.",
  },
  live: { sign: "Live", advice: "" },
  stale: { sign: "Stale", advice: "No new reading. Check that the meter is on and awake." },
  lost: { sign: "Meter lost", advice: "Plug it in again; the job goes on where it was." },
  denied: { sign: "No permission", advice: "This account may not open the port." },
  busy: { sign: "In use", advice: "Another program holds the port. Close it." },
  closed: { sign: "Closed", advice: "The meter was closed with the run." },
};

export function meterSign(state: MeterState): string {
  return WORDS[state].sign;
}

export function meterAdvice(meter: MeterStatus): string {
  return meter.advice === null ? WORDS[meter.state].advice : meter.advice.action;
}

const COUPLING: Readonly<Record<string, string>> = { dc: "DC ", ac: "AC ", "ac+dc": "AC+DC " };

/** The function on the dial, in words: "DC voltage", "resistance". */
export function functionWords(reading: Pick<Reading, "quantity" | "coupling">): string {
  if (reading.quantity === "unspecified") return "function not told";
  const coupling = reading.coupling === null ? "" : (COUPLING[reading.coupling] ?? "");
  return `${coupling}${reading.quantity}`;
}

/** Those that make the number untrustworthy come first. */
const FLAG_WORDS: readonly (readonly [Reading["flags"][number], string])[] = [
  ["hold", "HOLD"],
  ["relative", "relative"],
  ["low-battery", "battery low"],
  ["min", "minimum"],
  ["max", "maximum"],
  ["average", "average"],
  ["peak", "peak"],
  ["low-z", "low input resistance"],
  ["auto", "auto range"],
];

export function flagWords(flags: Reading["flags"]): readonly string[] {
  return FLAG_WORDS.filter(([flag]) => flags.includes(flag)).map(([, words]) => words);
}
