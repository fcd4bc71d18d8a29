/**
 * Readings are compared on a scale where their spread is nearly even: volts as they are, ohms as
 * ln(1 + R/0.15 Ω): nearly even below a tenth of an ohm, by ratio above.
 */
export interface Scale {
  readonly at: (value: number) => number;
  /** Derivative of `at`. */
  readonly slope: (value: number) => number;
}

const VOLTS: Scale = { at: (v) => v, slope: () => 1 };
const KNEE_OHM = 0.15;
const OHMS: Scale = {
  at: (r) => Math.log1p(Math.max(0, r) / KNEE_OHM),
  slope: (r) => 1 / (KNEE_OHM + Math.max(0, r)),
};

export function scaleOf(quantity: "voltage" | "resistance"): Scale {
  return quantity === "voltage" ? VOLTS : OHMS;
}

/** Above this a hand-held meter shows over range, ohms: common practice, no source. */
const OVER_RANGE_OHM = 40e6;
/** Within this factor of the limit it is not certain which of the two it shows. */
const SOFTNESS = Math.log(1.5);

/** Probability that a resistance is shown as over range. */
export function overRange(ohm: number): number {
  const z = Math.log(Math.max(ohm, 1e-3) / OVER_RANGE_OHM) / SOFTNESS;
  return 1 / (1 + Math.exp(-z));
}

/** Standard uncertainty of a reading beside the tool's own tolerance, in the reading's unit. */
export function readingNoise(
  quantity: "voltage" | "resistance",
  value: number,
  loaded: boolean,
  u: number | null,
): number {
  if (quantity === "resistance") return Math.hypot(u ?? 0.01 * value, CONTACT_OHM);
  // Under load the pack sinks and recovers between two readings.
  return Math.hypot(u ?? 0.006 * Math.abs(value), loaded ? 0.2 : 0.03);
}

/** Two probe tips on two oxidised surfaces, ohms: common practice, no source. */
const CONTACT_OHM = 0.08;
