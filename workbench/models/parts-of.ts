import type { Access, Effect, FaultMode, Part, Probe, Range } from "./model.js";

/** Wires, joints and contacts fail alike; what differs is how often. */
interface Joint {
  readonly id: string;
  readonly label: string;
  readonly access: Access;
  /** Elements of the model that belong to it, each as likely to be the one at fault. */
  readonly elements: readonly string[];
  readonly openOdds: number;
  readonly highOdds: number;
  readonly high?: Range;
  /** What else happens when it is open (a converter that gets no mains). */
  readonly then?: readonly Effect[];
}

export function jointPart(joint: Joint): Part {
  const { id, label, access, elements, openOdds, highOdds, high = [1, 1000], then = [] } = joint;
  return {
    id,
    label,
    access,
    modes: [
      mode("open", "open", openOdds, ways(elements, { ohm: "open" }, then)),
      mode("high-resistance", "of high resistance", highOdds, ways(elements, { ohm: high }, [])),
    ],
  };
}

function ways(
  elements: readonly string[],
  effect: Pick<Effect, "ohm">,
  then: readonly Effect[],
): Effect[][] {
  return elements.map((element) => [{ element, ...effect }, ...then]);
}

export function mode(
  id: FaultMode["id"],
  words: string,
  odds: number,
  ways: FaultMode["ways"],
): FaultMode {
  return { id, words, odds, ways };
}

export function volts(red: string, black: string, condition: string): Probe {
  return { quantity: "voltage", red, black, condition };
}

export function ohms(red: string, black: string, condition = "pack-out"): Probe {
  return { quantity: "resistance", red, black, condition };
}
