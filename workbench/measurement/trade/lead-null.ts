import { rectangular } from "../uncertainty.js";
import type { Estimate } from "../uncertainty.js";

/** Low ohms measured with two leads: the leads' own resistance is taken off. */
export interface LeadNull {
  /** Readings with the probes touched together, ohms. */
  readonly together_ohm: readonly number[];
  /** The value of one count, ohms. */
  readonly resolution_ohm: number;
}

/**
 * Takes the leads off a low-ohm reading. What is left over is uncertain by the scatter of touching
 * the probes together (contact is never twice the same) and by one count each of both readings.
 * A result below zero by no more than its expanded uncertainty is zero.
 */
export function nulled(reading_ohm: number, { together_ohm, resolution_ohm }: LeadNull): Estimate {
  const n = together_ohm.length;
  const leads = together_ohm.reduce((sum, r) => sum + r, 0) / n;
  const squares = together_ohm.reduce((sum, r) => sum + (r - leads) ** 2, 0);
  // One touch says nothing of scatter: two counts are common practice, no source.
  const scatter = n > 1 ? Math.sqrt(squares / (n - 1)) : 2 * resolution_ohm;
  const u = Math.hypot(scatter, Math.SQRT2 * rectangular(resolution_ohm / 2));
  const value = reading_ohm - leads;
  return { value: value < 0 && value > -2 * u ? 0 : value, u };
}
