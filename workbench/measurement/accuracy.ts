import { z } from "zod";
import { COUPLINGS, QUANTITIES } from "../../protocols/reading.js";
import type { Coupling, Quantity } from "../../protocols/reading.js";

/**
 * The accuracy table of a meter as its manual prints it, entered once per meter: ±(percent of
 * reading + counts), one line per function and range.
 */
export const accuracyLineSchema = z.strictObject({
  quantity: z.enum(QUANTITIES),
  /** null: the line holds for any coupling, or coupling has no meaning (ohms). */
  coupling: z.enum(COUPLINGS).nullable().default(null),
  /** The value of one count in the range the line is for; null: any range. */
  resolution: z.number().positive().nullable().default(null),
  /** Upper end of the range in the unit of the quantity; null: any. */
  upTo: z.number().positive().nullable().default(null),
  percentOfReading: z.number().nonnegative(),
  counts: z.number().nonnegative(),
  /** Lines of AC ranges hold between these frequencies only; for the record. */
  note: z.string().optional(),
});

export const accuracySchema = z.strictObject({
  meter: z.string().min(1),
  /** ISO 8601 date of the last calibration; null: never or unknown. */
  calibrated: z.iso.date().nullable().default(null),
  /** How long the accuracy holds after calibration, months. */
  valid_months: z.number().positive().default(12),
  /** The temperatures it holds for; beyond, the coefficient below applies. */
  temperature_degC: z
    .strictObject({ low: z.number(), high: z.number() })
    .refine(({ low, high }) => low < high, "the lower temperature comes first")
    .default({ low: 18, high: 28 }),
  /** Added per °C outside, as a share of the stated accuracy; 0.1 is common practice, no source. */
  temperatureCoefficient: z.number().nonnegative().default(0.1),
  lines: z.array(accuracyLineSchema).min(1),
});

export type Accuracy = z.infer<typeof accuracySchema>;
export type AccuracyLine = z.infer<typeof accuracyLineSchema>;

export interface AccuracyQuery {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  readonly value: number;
  readonly resolution: number | null;
}

/**
 * The line for a reading: right quantity and coupling, the range told by the value of one count
 * where both say, else the smallest range that holds the value. null where the table has none.
 */
export function accuracyLine(accuracy: Accuracy, query: AccuracyQuery): AccuracyLine | null {
  const fitting = accuracy.lines.filter((line) => fits(line, query));
  // Continuity is measured as ohms; few manuals have a line of its own for it.
  if (fitting.length === 0 && query.quantity === "continuity") {
    return accuracyLine(accuracy, { ...query, quantity: "resistance" });
  }
  const exact = fitting.find((line) => sameCount(line.resolution, query.resolution));
  if (exact) return exact;
  const general = fitting.filter((line) => line.resolution === null || query.resolution === null);
  return general.sort((a, b) => (a.upTo ?? Infinity) - (b.upTo ?? Infinity))[0] ?? null;
}

function fits(line: AccuracyLine, query: AccuracyQuery): boolean {
  const coupling =
    line.coupling === null || query.coupling === null || line.coupling === query.coupling;
  const range = line.upTo === null || Math.abs(query.value) <= line.upTo * (1 + 1e-9);
  return line.quantity === query.quantity && coupling && range;
}

function sameCount(a: number | null, b: number | null): boolean {
  return a !== null && b !== null && Math.abs(a - b) <= 1e-6 * a;
}

/** Half-width of ±(percent of reading + counts) in the unit of the reading (GUM 4.3.7). */
export function accuracyHalfWidth(line: AccuracyLine, value: number, resolution: number): number {
  return (Math.abs(value) * line.percentOfReading) / 100 + line.counts * resolution;
}

/** Whether the calibration has run out at `date` (ISO 8601); unknown dates count as run out. */
export function calibrationExpired(accuracy: Accuracy, date: string): boolean {
  const end = calibrationEnd(accuracy);
  return end === null || date.slice(0, 10) > end;
}

/** The last day that the calibration holds, ISO 8601; null where nobody stated when it was. */
export function calibrationEnd({ calibrated, valid_months }: Accuracy): string | null {
  if (calibrated === null) return null;
  const [year = 0, month = 1, day = 1] = calibrated.split("-").map(Number);
  const last = new Date(Date.UTC(year, month - 1 + valid_months, 1));
  // The 31st of a month becomes the last of a shorter one.
  const days = new Date(Date.UTC(last.getUTCFullYear(), last.getUTCMonth() + 1, 0)).getUTCDate();
  last.setUTCDate(Math.min(day, days));
  return last.toISOString().slice(0, 10);
}
