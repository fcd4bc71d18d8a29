import type { Flag, TimedReading } from "../../protocols/reading.js";
import type { Prompt, WatchTarget } from "./watch.js";

/** Signs on the meter's display that make its number something else than the present reading. */
const UNTRUSTED = ["hold", "relative", "low-battery", "min", "max"] as const satisfies Flag[];

/**
 * What must be put right at the meter before its number means anything for this step; null where
 * nothing. A meter that does not tell its function or coupling is believed.
 */
export function meterTrouble(target: WatchTarget, reading: TimedReading): Prompt | null {
  const { quantity, coupling } = reading;
  const wanted = { quantity: target.quantity, coupling: target.coupling };
  if (!functionServes(target, reading)) {
    return { kind: "turn-dial", to: wanted, from: { quantity, coupling } };
  }
  const flag = UNTRUSTED.find((name) => reading.flags.includes(name));
  return flag === undefined ? null : { kind: "clear-flag", flag };
}

function functionServes(target: WatchTarget, { quantity, coupling }: TimedReading): boolean {
  const known = quantity !== "unspecified" && target.quantity !== "unspecified";
  // The ohms position tells continuity, and finer; not the other way round.
  const serves =
    quantity === target.quantity || (target.quantity === "continuity" && quantity === "resistance");
  if (known && !serves) return false;
  return target.coupling === null || coupling === null || coupling === target.coupling;
}
