import { prefixExponent } from "./reading.js";
import type { Prefix, Quantity, Reading } from "./reading.js";

/** What stands on the meter's own display; the unit follows the prefix. */
export interface DisplayText {
  /** Sign, digits and point, trailing zeros kept; "OL" or "-OL" when over range. */
  readonly digits: string;
  readonly prefix: Prefix;
}

/**
 * A reading as its meter shows it. Where the wire told the prefix it is that one; else the one
 * that puts the count one to three places behind the point, as ranges of four digits do.
 */
export function displayOf(reading: Reading): DisplayText {
  const prefix = reading.prefix ?? guessPrefix(reading);
  if (reading.value === null) {
    return { digits: reading.overload === "negative" ? "-OL" : "OL", prefix };
  }
  return { digits: digitsOf(reading.value, reading.resolution, prefix), prefix };
}

/** Shown of a number whose count is not known: as many each time, so that nothing jumps. */
const FIGURES = 6;

function digitsOf(value: number, resolution: number | null, prefix: Prefix): string {
  const exponent = prefixExponent(prefix);
  const shown = shift(Math.abs(value), -exponent);
  const sign = value < 0 || Object.is(value, -0) ? "-" : "";
  if (resolution === null) return sign + shown.toPrecision(FIGURES);
  const decimals = Math.max(0, exponent - decadeOf(resolution));
  return sign + shown.toFixed(Math.min(decimals, 20));
}

/** Multiplies by a power of ten by way of the decimal text, so that no rounding creeps in. */
function shift(value: number, exponent: number): number {
  const [digits = "0", own = "0"] = value.toExponential().split("e");
  return Number(`${digits}e${Number(own) + exponent}`);
}

function decadeOf(resolution: number): number {
  return Math.floor(Math.log10(resolution) + 1e-9);
}

/** The decade that quantities are shown in when in doubt: nobody's meter shows kilovolts. */
const LARGEST: Readonly<Partial<Record<Quantity, Prefix>>> = {
  voltage: "",
  current: "",
  diode: "",
  capacitance: "m",
  resistance: "M",
  continuity: "k",
  frequency: "M",
  power: "k",
};

function guessPrefix({ quantity, value, resolution }: Reading): Prefix {
  const largest = LARGEST[quantity];
  if (largest === undefined) return "";
  const decade =
    resolution === null
      ? Math.floor(Math.log10(Math.abs(value ?? 0) || 1) + 1e-9)
      : decadeOf(resolution) + 3;
  const wanted = 3 * Math.floor(decade / 3);
  const exponent = Math.max(-12, Math.min(wanted, prefixExponent(largest)));
  return BY_EXPONENT.get(exponent) ?? "";
}

const BY_EXPONENT = new Map<number, Prefix>([
  [-12, "p"],
  [-9, "n"],
  [-6, "µ"],
  [-3, "m"],
  [0, ""],
  [3, "k"],
  [6, "M"],
]);
