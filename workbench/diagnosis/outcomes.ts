import type { Prediction } from "./column.js";
import { dot } from "./gaussian.js";
import type { Explained } from "./infer.js";
import { isLoaded } from "./intermittent.js";
import type { Predictor, Target } from "./predict.js";
import { overRange, readingNoise, scaleOf } from "./scale.js";

/** One class of outcomes of a measurement: between two values, or open. */
export interface Outcome {
  /** Volts or ohms; null for an open circuit. */
  readonly range: readonly [low: number, high: number] | null;
}

const FINE_VOLTS = [-1e3, ...Array.from({ length: 60 }, (_, i) => -0.35 + i * 0.5), 1e3];
const FINE_OHMS = [-1, 0.15, 0.3, 0.5, 0.8, 1.2, 2, 3, 5, 9, 18, 40, 90, 200, 500, 2e3, 1e4, 1e9];

export function outcomeClasses(target: Target): Outcome[] {
  const edges = target.quantity === "voltage" ? FINE_VOLTS : FINE_OHMS;
  const classes: Outcome[] = edges.slice(1).map((high, i) => ({ range: [edges[i] ?? high, high] }));
  return target.quantity === "voltage" ? classes : [...classes, { range: null }];
}

/** Probability of each outcome class, given the hypothesis and everything read so far. */
export function outcomeProbabilities(
  predictor: Predictor,
  explained: Explained,
  target: Target,
  classes: readonly Outcome[],
): number[] {
  const options = predictor.column(target).options(explained.hypothesis);
  const [first] = options;
  if (options.length === 1) return spread(explained, target, first.prediction, classes);
  const sum = new Array<number>(classes.length).fill(0);
  for (const { prediction, log } of options) {
    const p = Math.exp(log);
    spread(explained, target, prediction, classes).forEach((value, o) => {
      sum[o] = (sum[o] ?? 0) + p * value;
    });
  }
  return sum;
}

function spread(
  explained: Explained,
  target: Target,
  prediction: Prediction,
  classes: readonly Outcome[],
): number[] {
  const open = target.quantity === "resistance" ? overRange(prediction.mean) : 0;
  const { mean, sd } = conditioned(explained, target, prediction);
  const scale = scaleOf(target.quantity);
  return classes.map(({ range }) => {
    if (range === null) return open;
    const [low, high] = range.map((edge) => (scale.at(edge) - mean) / sd);
    return (1 - open) * (normal(high ?? 0) - normal(low ?? 0));
  });
}

/** Mean and standard deviation on the scale, the unknowns narrowed by what was read so far. */
function conditioned(
  { fit }: Explained,
  target: Target,
  prediction: Prediction,
): { mean: number; sd: number } {
  const scale = scaleOf(target.quantity);
  const slope = scale.slope(prediction.mean);
  const { loads } = prediction;
  const shared = fit.loads.map((row) => dot(row, loads));
  const loaded = isLoaded(target.condition);
  const noise = readingNoise(target.quantity, prediction.mean, loaded, null) * slope;
  let mean = prediction.scaled;
  let variance = dot(loads, loads) + noise * noise;
  shared.forEach((k, i) => {
    mean += k * (fit.joint.weights[i] ?? 0);
    shared.forEach((l, j) => {
      variance -= k * l * (fit.joint.precision[i * fit.joint.size + j] ?? 0);
    });
  });
  return { mean, sd: Math.sqrt(Math.max(variance, noise * noise)) };
}

/** Standard normal distribution function; Abramowitz & Stegun 7.1.26, error below 1.5e-7. */
function normal(z: number): number {
  const t = 1 / (1 + (0.3275911 * Math.abs(z)) / Math.SQRT2);
  const series =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - series * Math.exp((-z * z) / 2);
  return z < 0 ? (1 - erf) / 2 : (1 + erf) / 2;
}
