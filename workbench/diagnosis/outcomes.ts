import type { Prediction } from "./column.js";
import { shared } from "./gaussian.js";
import type { Explained } from "./infer.js";
import type { Fit } from "./likelihood.js";
import { isLoaded } from "./intermittent.js";
import type { Predictor, Target } from "./predict.js";
import { overRange, readingNoise, scaleOf } from "./scale.js";

/** One class of outcomes of a measurement: between two values, or open. */
export interface Outcome {
  /** Volts or ohms; null for an open circuit. */
  readonly range: readonly [low: number, high: number] | null;
}

// Which lead is where does not matter: all below zero is with what is near it.
const FINE_VOLTS = [-1e3, ...Array.from({ length: 59 }, (_, i) => 0.15 + i * 0.5), 1e3];
const FINE_OHMS = [-1, 0.15, 0.3, 0.5, 0.8, 1.2, 2, 3, 5, 9, 18, 40, 90, 200, 500, 2e3, 1e4, 1e9];

const EDGES = { voltage: FINE_VOLTS, resistance: FINE_OHMS };
/** The edges on the scale of the quantity. */
const PLACES = {
  voltage: FINE_VOLTS.map((edge) => scaleOf("voltage").at(edge)),
  resistance: FINE_OHMS.map((edge) => scaleOf("resistance").at(edge)),
};

export function outcomeClasses({ quantity }: Target): Outcome[] {
  const edges = EDGES[quantity];
  const classes: Outcome[] = edges.slice(1).map((high, i) => ({ range: [edges[i] ?? high, high] }));
  return quantity === "voltage" ? classes : [...classes, { range: null }];
}

/** The class that a value falls into; null (over range) is the last. */
export function classOf(quantity: Target["quantity"], value: number | null): number {
  const edges = EDGES[quantity];
  if (value === null) return edges.length - 1;
  // Which lead is where does not matter to which place it is.
  const size = quantity === "voltage" ? Math.abs(value) : value;
  return edges.findIndex((edge) => size < edge) - 1;
}

/** What one measurement may show, asked of many hypotheses: equal ones are worked out once. */
export class Forecast {
  private readonly known = new Map<Fit, Map<Prediction, readonly number[]>>();

  constructor(
    private readonly predictor: Predictor,
    private readonly target: Target,
  ) {}

  /** Probability of each outcome class, given the hypothesis and everything read so far. */
  of({ hypothesis, fit }: Explained): readonly number[] {
    const options = this.predictor.column(this.target).options(hypothesis);
    const [first, ...others] = options;
    if (others.length === 0) return this.spread(fit, first.prediction);
    const sum = this.spread(fit, first.prediction).map(() => 0);
    for (const { prediction, log } of options) {
      const p = Math.exp(log);
      this.spread(fit, prediction).forEach((value, o) => (sum[o] = (sum[o] ?? 0) + p * value));
    }
    return sum;
  }

  private spread(fit: Fit, prediction: Prediction): readonly number[] {
    const ofFit = this.known.get(fit) ?? new Map<Prediction, readonly number[]>();
    this.known.set(fit, ofFit);
    const known = ofFit.get(prediction) ?? spread(fit, this.target, prediction);
    ofFit.set(prediction, known);
    return known;
  }
}

function spread(fit: Fit, target: Target, prediction: Prediction): number[] {
  const { quantity } = target;
  const open = quantity === "resistance" ? overRange(prediction.mean) : 0;
  const { mean, sd } = conditioned(fit, target, prediction);
  const below = PLACES[quantity].map((place) => normal((place - mean) / sd));
  const classes = below.slice(1).map((high, i) => (1 - open) * (high - (below[i] ?? 0)));
  return quantity === "voltage" ? classes : [...classes, open];
}

/** Mean and standard deviation on the scale, the unknowns narrowed by what was read so far. */
function conditioned(
  fit: Fit,
  target: Target,
  prediction: Prediction,
): { mean: number; sd: number } {
  const scale = scaleOf(target.quantity);
  const slope = scale.slope(prediction.mean);
  const { loads } = prediction;
  const { joint, loads: rows } = fit.trusted();
  const cross = rows.map((row) => shared(row, loads));
  const loaded = isLoaded(target.condition);
  const noise = readingNoise(target.quantity, prediction.mean, loaded, null) * slope;
  let mean = prediction.scaled;
  let variance = loads.own + noise * noise;
  cross.forEach((k, i) => {
    mean += k * (joint.weights[i] ?? 0);
    cross.forEach((l, j) => {
      variance -= k * l * (joint.precision[i * joint.size + j] ?? 0);
    });
  });
  return { mean, sd: Math.sqrt(Math.max(variance, noise * noise)) };
}

/** Standard normal distribution function; Abramowitz & Stegun 7.1.26, error below 1.5e-7. */
function normal(z: number): number {
  if (Math.abs(z) > 6) return z < 0 ? 0 : 1;
  const t = 1 / (1 + (0.3275911 * Math.abs(z)) / Math.SQRT2);
  const series =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - series * Math.exp((-z * z) / 2);
  return z < 0 ? (1 - erf) / 2 : (1 + erf) / 2;
}
