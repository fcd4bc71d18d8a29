import { countOf, scaled } from "../decimal.js";
import { prefixExponent, unitOf } from "../reading.js";
import type { Coupling, Flag, Overload, Prefix, Quantity, Reading, Unit } from "../reading.js";

/** All of a meter's display except the digits: what changes only when somebody turns the dial. */
export interface Face {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  readonly unit: Unit;
  readonly prefix: Prefix;
  /** Power of ten of the prefix. */
  readonly exponent: number;
  readonly flags: readonly Flag[];
  /** By digits behind the point, 0 to 4: from counts to the value in `unit`. */
  readonly scales: readonly Scale[];
  /**
   * By digits behind the point, the value of one count; the last is for a display that does not
   * tell. A list that also holds null keeps its numbers as objects, which every reading can share:
   * a number taken from anywhere else would be made anew for each.
   */
  readonly resolutions: readonly (number | null)[];
}

/** One of the two is 1, so that one step rounds. */
interface Scale {
  readonly factor: number;
  readonly divisor: number;
}

const DECIMALS = [0, 1, 2, 3, 4];

function scaleOf(exponent: number): Scale {
  return { factor: countOf(Math.max(0, exponent)), divisor: countOf(Math.max(0, -exponent)) };
}

export function faceOf(
  quantity: Quantity,
  coupling: Coupling | null,
  prefix: Prefix,
  flags: readonly Flag[],
  unit: Unit = unitOf(quantity),
): Face {
  const exponent = prefixExponent(prefix);
  const scales = DECIMALS.map((decimals) => scaleOf(exponent - decimals));
  const resolutions = [...DECIMALS.map((decimals) => countOf(exponent - decimals)), null];
  return { quantity, coupling, unit, prefix, exponent, flags, scales, resolutions };
}

/** The reading of a face with `counts` shown with `decimals` digits behind the point. */
export function readingOf(face: Face, counts: number, decimals: number): Reading {
  const scale = face.scales[decimals];
  if (scale === undefined) return readingOfAny(face, counts, face.exponent - decimals);
  return {
    quantity: face.quantity,
    coupling: face.coupling,
    value: (counts * scale.factor) / scale.divisor,
    overload: false,
    unit: face.unit,
    resolution: face.resolutions[decimals] ?? null,
    flags: face.flags,
    prefix: face.prefix,
  };
}

/** With a point where no display has it. */
function readingOfAny(face: Face, counts: number, exponent: number): Reading {
  const { quantity, coupling, unit, flags, prefix } = face;
  const [value, resolution] = [scaled(counts, exponent), countOf(exponent)];
  return { quantity, coupling, value, overload: false, unit, resolution, flags, prefix };
}

/** Over range. The resolution is that of the range the meter is in, where its point shows it. */
export function overloadOf(
  face: Face,
  overload: Exclude<Overload, false>,
  decimals: number | null,
): Reading {
  return {
    quantity: face.quantity,
    coupling: face.coupling,
    value: null,
    overload,
    unit: face.unit,
    resolution: decimals === null ? null : countOf(face.exponent - decimals),
    flags: face.flags,
    prefix: face.prefix,
  };
}

/**
 * Prefixes that a hand-held meter shows with a quantity (common practice, no source). Anything
 * else is a damaged frame: there is no megavolt range.
 */
export const USUAL_PREFIXES: Readonly<Record<Quantity, readonly Prefix[]>> = {
  voltage: ["µ", "m", ""],
  current: ["n", "µ", "m", ""],
  resistance: ["m", "", "k", "M", "G"],
  continuity: ["", "k"],
  diode: ["m", ""],
  capacitance: ["p", "n", "µ", "m", ""],
  frequency: ["", "k", "M"],
  duty: [""],
  temperature: [""],
  power: ["µ", "m", "", "k"],
  gain: [""],
  unspecified: [""],
};

/**
 * Which way a display is over range. A frame that always carries a sign says it of direct voltage
 * and current alone: of ohms or alternating values it has no meaning.
 */
export function overloadSign(face: Face, negative: boolean): Exclude<Overload, false> {
  if (face.coupling !== "dc") return negative ? "negative" : true;
  return negative ? "negative" : "positive";
}
