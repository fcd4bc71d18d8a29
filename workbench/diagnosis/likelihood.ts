import type { BenchCondition } from "../models/model.js";
import type { Variant } from "./compile.js";
import { joint, logPairGivenOthers } from "./gaussian.js";
import type { Joint } from "./gaussian.js";
import type { Measured, Observation } from "./observation.js";
import type { Hypothesis, Prediction, Predictor } from "./predict.js";
import { overRange, readingNoise, scaleOf } from "./scale.js";
import { sightingProbability } from "./sighting.js";

/** How well one hypothesis explains everything that was observed. */
export interface Fit {
  readonly logLikelihood: number;
  /** Probability, given the hypothesis, that observation i is a slip of the hand. */
  readonly slips: readonly number[];
  /** The readings that count as numbers, and their joint density, for predicting the next. */
  readonly numeric: readonly number[];
  readonly joint: Joint;
  readonly loads: readonly Float64Array[];
}

/**
 * How often a reading is taken at the wrong point, with a lifted probe or on the wrong range:
 * common practice, no source. A zero or an open that nobody proved is the likeliest to be one.
 */
const SLIP = { steady: 0.004, unprovedZero: 0.01, provedZero: 0.002 };
/** How often a hand alone makes a reading jump about. */
const MISSED_UNSTEADY = 0.03;

interface Weighed {
  readonly index: number;
  readonly residual: number;
  readonly loads: Float64Array;
  readonly noise: number;
  readonly slip: number;
  readonly logIfSlip: number;
}

export function fit(
  predictor: Predictor,
  hypothesis: Hypothesis,
  observations: readonly Observation[],
): Fit {
  const slips = new Array<number>(observations.length).fill(0);
  const numeric: Weighed[] = [];
  let log = 0;
  observations.forEach((observation, index) => {
    if (observation.kind === "seen") {
      log += Math.log(sightingProbability(predictor, hypothesis, observation));
      return;
    }
    const shown = shownBy(predictor, hypothesis, observation);
    log += shown.log;
    if (observation.unsteady === true) return;
    const weighed = weigh(observation, shown.prediction, index);
    if (typeof weighed === "number") {
      const slip = slipRate(observation);
      const both = (1 - slip) * weighed + slip * slipOpen(observation);
      slips[index] = (slip * slipOpen(observation)) / both;
      log += Math.log(both);
    } else numeric.push(weighed);
  });
  const together = joint(
    numeric.map((reading) => reading.residual),
    numeric.map((reading) => reading.loads),
    numeric.map((reading) => reading.noise),
  );
  log += withSlips(numeric, together, slips);
  return {
    logLikelihood: log,
    slips,
    numeric: numeric.map((reading) => reading.index),
    joint: together,
    loads: numeric.map((reading) => reading.loads),
  };
}

/** A number to weigh on the scale, or the probability of showing open (or a number instead). */
function weigh(reading: Measured, prediction: Prediction, index: number): Weighed | number {
  const open = reading.quantity === "resistance" ? overRange(prediction.mean) : 0;
  if (reading.value === null) return Math.max(open, 1e-12);
  if (open > 0.5) return Math.max(1 - open, 1e-12) * Math.exp(logSlip(reading));
  const scale = scaleOf(reading.quantity);
  const slope = scale.slope(prediction.mean);
  const loaded = reading.quantity === "voltage" && isLoaded(reading.condition);
  return {
    index,
    residual: scale.at(reading.value) - scale.at(prediction.mean),
    loads: prediction.loads.map((load) => load * slope),
    noise:
      readingNoise(reading.quantity, reading.value, loaded, reading.u) * scale.slope(reading.value),
    slip: slipRate(reading),
    logIfSlip: logSlip(reading),
  };
}

export function isLoaded(condition: BenchCondition): boolean {
  return condition.trigger !== "released";
}

function slipRate(reading: Measured): number {
  const nothing = reading.value === null || isZero(reading);
  if (!nothing) return SLIP.steady;
  return reading.proved ? SLIP.provedZero : SLIP.unprovedZero;
}

function isZero(reading: Measured): boolean {
  return reading.quantity === "voltage" && Math.abs(reading.value ?? 0) < 0.1;
}

/** Density of a slip: mostly nothing (a lifted probe), else anything. */
function logSlip(reading: Measured): number {
  if (reading.quantity === "resistance") return Math.log(0.4 / 17);
  return Math.log(isZero(reading) ? 0.6 / 0.2 : 0.4 / 40);
}

function slipOpen(reading: Measured): number {
  return reading.value === null ? 0.6 : Math.exp(logSlip(reading));
}

/**
 * None, any one or any two of the readings being slips, summed; fills in `slips`. In logarithms,
 * because one impossible reading can weigh thousands of nats.
 */
function withSlips(readings: readonly Weighed[], together: Joint, slips: number[]): number {
  const own = readings.map((r) => Math.log(r.slip / (1 - r.slip)) + r.logIfSlip);
  const terms: { log: number; of: readonly number[] }[] = [{ log: 0, of: [] }];
  own.forEach((log, i) => {
    terms.push({ log: log - (together.logGivenOthers[i] ?? 0), of: [i] });
    for (let j = 0; j < i; j += 1) {
      terms.push({ log: log + (own[j] ?? 0) - logPairGivenOthers(together, i, j), of: [i, j] });
    }
  });
  const top = terms.reduce((most, term) => Math.max(most, term.log), 0);
  const total = terms.reduce((sum, term) => sum + Math.exp(term.log - top), 0);
  for (const term of terms) {
    const share = Math.exp(term.log - top) / total;
    for (const i of term.of) {
      const index = readings[i]?.index ?? 0;
      slips[index] = (slips[index] ?? 0) + share;
    }
  }
  const honest = readings.reduce((log, reading) => log + Math.log1p(-reading.slip), 0);
  return together.logDensity + honest + Math.log(total) + top;
}

interface Shown {
  readonly prediction: Prediction;
  readonly log: number;
}

/**
 * An intermittent fault shows at one touch and not at the next: per reading the state that fits
 * better, at the price of its probability. Without intermittent faults simply the prediction.
 */
export function shownBy(predictor: Predictor, hypothesis: Hypothesis, reading: Measured): Shown {
  const fickle = hypothesis.faults.filter((fault) => fault.mode.shows !== undefined);
  const steady = predictor.predict(reading, without(hypothesis, fickle));
  if (fickle.length === 0) return { prediction: steady, log: steadiness(reading, 0) };
  const shown = predictor.predict(reading, hypothesis);
  if (same(steady, shown)) return { prediction: steady, log: steadiness(reading, 0) };
  const p = Math.max(...fickle.map((fault) => showing(fault, reading.condition)));
  const log = steadiness(reading, p);
  if (reading.unsteady !== null) return { prediction: steady, log };
  const options = [
    { prediction: steady, log: Math.log(1 - p) },
    { prediction: shown, log: Math.log(p) },
  ];
  const rated = options.map((option) => option.log + alone(reading, option.prediction));
  return (rated[1] ?? 0) > (rated[0] ?? 0)
    ? (options[1] ?? { prediction: shown, log: 0 })
    : (options[0] ?? { prediction: steady, log: 0 });
}

/** Log probability that several samples jumped about, or that they did not. */
function steadiness(reading: Measured, p: number): number {
  if (reading.unsteady === null) return 0;
  const jumps = MISSED_UNSTEADY + (1 - MISSED_UNSTEADY) * p;
  return Math.log(reading.unsteady ? jumps : 1 - jumps);
}

export function showing(fault: Variant, condition: BenchCondition): number {
  const moved = condition.shaft === "turned-by-hand" || isLoaded(condition);
  return (moved ? fault.mode.shows?.moved : fault.mode.shows?.still) ?? 1;
}

export function without(hypothesis: Hypothesis, fickle: readonly Variant[]): Hypothesis {
  if (fickle.length === 0) return hypothesis;
  return { ...hypothesis, faults: hypothesis.faults.filter((fault) => !fickle.includes(fault)) };
}

function same(a: Prediction, b: Prediction): boolean {
  return Math.abs(a.mean - b.mean) <= 1e-9 * Math.max(1, Math.abs(a.mean));
}

/** Log density of one reading by itself. */
export function alone(reading: Measured, prediction: Prediction): number {
  const weighed = weigh(reading, prediction, 0);
  if (typeof weighed === "number") return Math.log(weighed);
  const sd = Math.hypot(weighed.noise, ...weighed.loads);
  return -0.5 * (weighed.residual / sd) ** 2 - Math.log(sd) - 0.5 * Math.log(2 * Math.PI);
}
