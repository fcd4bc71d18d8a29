/** What the meter says it measures (VIM: kind of quantity), named as the dial names it. */
export const QUANTITIES = [
  "voltage",
  "current",
  "resistance",
  "continuity",
  "diode",
  "capacitance",
  "frequency",
  "duty",
  "temperature",
  "power",
  "gain",
  /** A bare number: the meter sent no unit and nobody has told the program the function. */
  "unspecified",
] as const;
export type Quantity = (typeof QUANTITIES)[number];

export const COUPLINGS = ["dc", "ac", "ac+dc"] as const;
export type Coupling = (typeof COUPLINGS)[number];

/** SI base units as the symbol people read; temperature stays in the degree the meter shows. */
export const UNITS = ["V", "A", "Ω", "F", "Hz", "%", "°C", "°F", "W", ""] as const;
export type Unit = (typeof UNITS)[number];

/** SI prefixes as a meter's display shows them in front of the unit. */
export const PREFIXES = ["p", "n", "µ", "m", "", "k", "M", "G"] as const;
export type Prefix = (typeof PREFIXES)[number];

/** Annunciators, as the meter itself reported them. */
export const FLAGS = [
  "auto",
  "hold",
  "relative",
  "low-battery",
  "min",
  "max",
  "average",
  "peak",
  "auto-off",
  "beep",
  "bar",
  "low-z",
] as const;
export type Flag = (typeof FLAGS)[number];

/** `true`: over range, sign unknown. */
export type Overload = false | true | "positive" | "negative";

/** One value as the meter sent it, before anybody judged it. */
export interface Reading {
  readonly quantity: Quantity;
  /** null where the meter does not say, or where it has no meaning (ohms). */
  readonly coupling: Coupling | null;
  /** In `unit`, SI without prefix; the double nearest to the digits sent. null on overload. */
  readonly value: number | null;
  readonly overload: Overload;
  readonly unit: Unit;
  /** The value of one count in `unit`; null where the wire does not tell (exponent notation). */
  readonly resolution: number | null;
  readonly flags: readonly Flag[];
  /** The prefix the meter shows, where the wire tells; only for showing the same (display.ts). */
  readonly prefix?: Prefix;
}

/** A reading of a job: on the one time base of the job, tagged with its meter. */
export interface TimedReading extends Reading {
  /** Estimated time of sampling, seconds since the start of the trace. */
  readonly time_s: number;
  /** Which meter: "a", "b", … in the order they were named. */
  readonly channel: string;
}

/** Power of ten of a prefix: "k" is 3. */
export function prefixExponent(prefix: Prefix): number {
  return 3 * (PREFIXES.indexOf(prefix) - PREFIXES.indexOf(""));
}

/** The unit that a quantity is told in; "" where it has none of its own. */
export function unitOf(quantity: Quantity): Unit {
  switch (quantity) {
    case "voltage":
    case "diode":
      return "V";
    case "current":
      return "A";
    case "resistance":
    case "continuity":
      return "Ω";
    case "capacitance":
      return "F";
    case "frequency":
      return "Hz";
    case "duty":
      return "%";
    case "temperature":
      return "°C";
    case "power":
      return "W";
    case "gain":
    case "unspecified":
      return "";
  }
}
