import type { Quantity } from "../../../protocols/reading.js";
import type { Accuracy } from "../../measurement/accuracy.js";

/**
 * A hand-held meter of the usual kind, for checking plans when nobody names a meter: 4,000 counts,
 * accuracy as such meters state it. Common practice, no source.
 */
export const USUAL_COUNTS = 4000;

const line = (quantity: Quantity, percentOfReading: number, counts: number) => ({
  quantity,
  coupling: null,
  resolution: null,
  upTo: null,
  percentOfReading,
  counts,
});

export const USUAL_METER: Accuracy = {
  meter: "a usual hand-held meter",
  calibrated: null,
  valid_months: 12,
  temperature_degC: { low: 18, high: 28 },
  temperatureCoefficient: 0.1,
  lines: [
    line("voltage", 0.8, 3),
    line("current", 1.5, 5),
    line("resistance", 1, 3),
    line("continuity", 1, 3),
    line("diode", 1, 3),
    line("capacitance", 3, 5),
    line("frequency", 0.1, 2),
    line("temperature", 1, 3),
  ],
};

/** The lowest range: 4 V, 400 Ω, and by tens of it upwards. */
const LOWEST: Partial<Record<Quantity, number>> = {
  voltage: 4,
  diode: 4,
  current: 0.4,
  resistance: 400,
  continuity: 400,
  capacitance: 40e-9,
};

/** The value of one count in the range that holds `value`, for a meter of so many counts. */
export function countAt(quantity: Quantity, value: number, counts: number): number {
  const lowest = (LOWEST[quantity] ?? 400) / USUAL_COUNTS;
  const size = Math.abs(value);
  let count = (lowest * USUAL_COUNTS) / counts;
  while (size > count * counts && count < 1e12) count *= 10;
  return count;
}
