import type { Coupling, Quantity } from "../../protocols/reading.js";
import { accuracyHalfWidth, accuracyLine, calibrationEnd, calibrationExpired } from "./accuracy.js";
import type { Accuracy } from "./accuracy.js";
import type { Outcome } from "./watch.js";

/** One contribution to the uncertainty budget, already in the unit of the result. */
export interface Contribution {
  readonly name: string;
  /** Standard uncertainty times its sensitivity coefficient. */
  readonly u: number;
  /** Degrees of freedom; Infinity for a type B part that is taken as exactly known. */
  readonly dof: number;
  readonly evaluation: "A" | "B";
  readonly distribution: "normal" | "rectangular";
  /** Where the figure comes from, one phrase for the record. */
  readonly source: string;
}

export interface Budget {
  /** Combined standard uncertainty. */
  readonly u: number;
  /** Effective degrees of freedom (Welch–Satterthwaite). */
  readonly dof: number;
  readonly contributions: readonly Contribution[];
  /** Standard uncertainties of the rectangular contributions. */
  readonly rectangular: readonly number[];
  /** What the budget does not know, a phrase; null where nothing is missing. */
  readonly note: string | null;
}

/** Standard uncertainty of a quantity known to lie within ±a, all values alike (GUM 4.3.7). */
export function rectangular(halfWidth: number): number {
  return halfWidth / Math.sqrt(3);
}

/** Standard uncertainty of a quantity within ±a, more likely near the middle (GUM 4.3.9). */
export function triangular(halfWidth: number): number {
  return halfWidth / Math.sqrt(6);
}

/** Root sum of squares of independent contributions (GUM 5.1.2, sensitivities already applied). */
export function combine(contributions: readonly Pick<Contribution, "u">[]): number {
  return Math.hypot(...contributions.map(({ u }) => u));
}

/** Effective degrees of freedom (GUM G.4.1, formula G.2b); Infinity where no part has finite ones. */
export function welchSatterthwaite(
  contributions: readonly Pick<Contribution, "u" | "dof">[],
): number {
  const total = combine(contributions) ** 4;
  const weighted = contributions.reduce(
    (sum, { u, dof }) => (Number.isFinite(dof) ? sum + u ** 4 / dof : sum),
    0,
  );
  return weighted === 0 ? Number.POSITIVE_INFINITY : total / weighted;
}

/** What surrounds a reading, as far as anybody knows. */
export interface Circumstances {
  readonly quantity: Quantity;
  readonly coupling: Coupling | null;
  /** Lead resistance that nulling may have left, ± ohms; only resistance is touched by it. */
  readonly leadResidual_ohm?: number;
  readonly temperature_degC?: number;
  /** ISO 8601 date of the reading, to tell whether the calibration still holds. */
  readonly date?: string;
}

/**
 * The uncertainty of a held reading: the meter's accuracy statement (rectangular), the spread of
 * the held readings (type A, of the mean), the resolution of one count, lead resistance left over
 * and temperature outside the meter's stated band. With `accuracy` null only spread and
 * resolution are known, and the note says so. null where the outcome carries no value.
 */
export function readingUncertainty(
  outcome: Pick<Outcome, "value" | "resolution" | "spread" | "samples">,
  accuracy: Accuracy | null,
  around: Circumstances,
): Budget | null {
  if (outcome.value === null) return null;
  const value = outcome.value;
  const resolution = outcome.resolution ?? 0;
  const parts: Contribution[] = [];
  const note = addMeter(parts, accuracy, { ...around, value, resolution: outcome.resolution });
  addSpread(parts, outcome);
  if (resolution > 0) {
    parts.push(typeB("resolution", rectangular(resolution / 2), "half a count either way"));
  }
  if (around.quantity === "resistance" && (around.leadResidual_ohm ?? 0) > 0) {
    const left = rectangular(around.leadResidual_ohm ?? 0);
    parts.push(typeB("leads", left, "lead resistance left after nulling"));
  }
  return budget(parts, note);
}

/** Combines contributions into a budget. */
export function budget(contributions: readonly Contribution[], note: string | null = null): Budget {
  const rectangular = contributions
    .filter(({ distribution }) => distribution === "rectangular")
    .map(({ u }) => u);
  const dof = welchSatterthwaite(contributions);
  return { u: combine(contributions), dof, contributions, rectangular, note };
}

function addMeter(
  parts: Contribution[],
  accuracy: Accuracy | null,
  query: Circumstances & { readonly value: number; readonly resolution: number | null },
): string | null {
  if (accuracy === null) {
    return "the meter's accuracy is not known: resolution and scatter only";
  }
  const line = accuracyLine(accuracy, query);
  if (line === null) {
    return `no line for this function and range in the accuracy table of ${accuracy.meter}: resolution and scatter only`;
  }
  const half = accuracyHalfWidth(line, query.value, query.resolution ?? line.resolution ?? 0);
  const stated = `±(${line.percentOfReading} % + ${line.counts} counts)`;
  parts.push(typeB("meter", rectangular(half), stated));
  const outside = degreesOutside(accuracy, query.temperature_degC);
  if (outside > 0) {
    const extra = rectangular(half * accuracy.temperatureCoefficient * outside);
    parts.push(typeB("temperature", extra, `${outside} °C outside the stated band`));
  }
  return query.date === undefined ? null : calibrationDoubt(accuracy, query.date);
}

/** A meter out of calibration may be off by more than its table allows. */
function calibrationDoubt(accuracy: Accuracy, date: string): string | null {
  if (!calibrationExpired(accuracy, date)) return null;
  const end = calibrationEnd(accuracy);
  return end === null
    ? `nobody stated when ${accuracy.meter} was calibrated: its accuracy is taken on trust`
    : `out of calibration: that of ${accuracy.meter} ran out on ${end}`;
}

function degreesOutside(accuracy: Accuracy, temperature: number | undefined): number {
  if (temperature === undefined) return 0;
  const { low, high } = accuracy.temperature_degC;
  return Math.max(0, low - temperature, temperature - high);
}

/** Repeatability: standard deviation of the mean, n − 1 degrees of freedom (GUM 4.2). */
function addSpread(
  parts: Contribution[],
  { spread, samples }: Pick<Outcome, "spread" | "samples">,
): void {
  if (samples < 2 || spread === 0) return;
  const u = spread / Math.sqrt(samples);
  const source = `mean of ${samples} readings`;
  const dof = samples - 1;
  parts.push({ name: "repeatability", u, dof, evaluation: "A", distribution: "normal", source });
}

function typeB(name: string, u: number, source: string): Contribution {
  return { name, u, dof: Infinity, evaluation: "B", distribution: "rectangular", source };
}

export interface Estimate {
  readonly value: number;
  /** Standard uncertainty. */
  readonly u: number;
}

/**
 * Value and standard uncertainty of a function of estimates, correlated or not (GUM 5.2.2, with
 * the numerical derivatives of its 5.1.3 note 2: each input moved by its own u).
 */
export function propagate(
  f: (inputs: readonly number[]) => number,
  inputs: readonly Estimate[],
  correlation: readonly (readonly number[])[] = inputs.map((_, j) =>
    inputs.map((_, k) => +(j === k)),
  ),
): Estimate {
  const values = inputs.map(({ value }) => value);
  const parts = inputs.map(({ u }, j) => {
    const moved = (by: number): number => f(values.map((v, k) => (k === j ? v + by : v)));
    return (moved(u) - moved(-u)) / 2;
  });
  let variance = 0;
  parts.forEach((a, j) => {
    parts.forEach((b, k) => (variance += a * b * (correlation[j]?.[k] ?? 0)));
  });
  return { value: f(values), u: Math.sqrt(Math.max(0, variance)) };
}
