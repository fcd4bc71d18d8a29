import type { Column, Prediction } from "./column.js";
import type { Entry } from "./gaussian.js";
import type { Hypothesis } from "./hypotheses.js";
import { isLoaded, jumping } from "./intermittent.js";
import type { Measured, Observation, Seen } from "./observation.js";
import type { Predictor } from "./predict.js";
import { overRange, readingNoise, scaleOf } from "./scale.js";
import { sightingProbability } from "./sighting.js";

/** A reading as a number on its scale, beside what was predicted. */
export interface Weighed extends Entry {
  /** Log odds of a slip of the hand, times the density of such a slip at this reading. */
  readonly logSlipOdds: number;
  /** Log probability of no slip. */
  readonly logHonest: number;
}

/** What one observation says about a hypothesis: the same object where it says the same. */
export interface Shown {
  /** Log probability of what does not go through the joint density of the numbers. */
  readonly given: number;
  readonly weighed: Weighed | null;
  /** Probability of a slip, where it is not a number. */
  readonly slip: number;
  /** Log density of this observation taken by itself, slips included. */
  readonly alone: number;
  /** What it could be instead, nearly as well by itself. */
  readonly others: readonly Shown[];
}

/**
 * How often a reading is taken at the wrong point, with a lifted probe or on the wrong range:
 * common practice, no source. A zero or an open that nobody proved is the likeliest to be one.
 */
const SLIP = { single: 0.004, unprovedZero: 0.01, proved: 0.002, steady: 0.001 };
/** How often a hand alone makes several samples jump about. */
const UNSTEADY_HAND = 0.03;
/** A prediction of open that meets a number, and the other way round: not quite impossible. */
const HARDLY = 1e-12;

/** Within so many nats two options of one reading are decided by the other readings. */
const AMBIGUOUS = 8;

/** One observation, ready to be held against any number of hypotheses. */
class Evidence {
  private readonly column: Column | null;
  private readonly byPrediction = new Map<Prediction, Shown>();
  private readonly byKey = new Map<string, Shown>();
  private readonly byNumber: (Shown | undefined)[];

  constructor(
    private readonly predictor: Predictor,
    private readonly observation: Observation,
  ) {
    this.column = observation.kind === "measured" ? predictor.column(observation) : null;
    this.byNumber = new Array<Shown | undefined>(predictor.doubles.length).fill(undefined);
  }

  /**
   * What is seen may depend on the moment (an intermittent fault, a protection that acts): per
   * reading the option that fits better, at the price of its probability.
   */
  shown(hypothesis: Hypothesis): Shown {
    const { number } = hypothesis;
    if (number < 0) return this.held(hypothesis);
    return (this.byNumber[number] ??= this.held(hypothesis));
  }

  private held(hypothesis: Hypothesis): Shown {
    const { observation, column } = this;
    if (observation.kind === "seen" || column === null) return this.seen(hypothesis);
    const options = column.options(hypothesis);
    const [first] = options;
    if (options.length === 1) return this.weigh(observation, first.prediction);
    if (observation.unsteady !== null && hypothesis.fickle.length > 0) {
      const p = Math.max(...hypothesis.fickle.map((one) => jumping(one, observation.condition)));
      const key = `${first.prediction.id} ${p}`;
      return this.once(key, () => shownFor(observation, first.prediction, p));
    }
    const key = options.map(({ prediction, log }) => `${prediction.id}+${log}`).join(" ");
    return this.once(key, () => {
      const rated = options
        .map(({ prediction, log }) => plus(this.weigh(observation, prediction), log))
        .sort((a, b) => b.alone - a.alone);
      const [best, ...rest] = rated;
      const alone = best?.alone ?? 0;
      const others = rest.filter((one) => one.alone > alone - AMBIGUOUS);
      return { ...(best ?? this.weigh(observation, first.prediction)), others };
    });
  }

  private seen(hypothesis: Hypothesis): Shown {
    const p = sightingProbability(this.predictor, hypothesis, this.observation as Seen);
    return this.once(`${p}`, () => {
      const given = Math.log(p);
      return { given, weighed: null, slip: 0, alone: given, others: [] };
    });
  }

  private weigh(reading: Measured, prediction: Prediction): Shown {
    const known = this.byPrediction.get(prediction);
    if (known !== undefined) return known;
    const shown = shownFor(reading, prediction, 0);
    this.byPrediction.set(prediction, shown);
    return shown;
  }

  private once(key: string, make: () => Shown): Shown {
    const known = this.byKey.get(key);
    if (known !== undefined) return known;
    const made = make();
    this.byKey.set(key, made);
    return made;
  }
}

const remembered = new WeakMap<Predictor, WeakMap<Observation, Evidence>>();

/** A job grows by one reading at a time: what the others say of each hypothesis is remembered. */
export function evidenceOf(predictor: Predictor, observation: Observation): Evidence {
  const known = remembered.get(predictor) ?? new WeakMap<Observation, Evidence>();
  remembered.set(predictor, known);
  const found = known.get(observation) ?? new Evidence(predictor, observation);
  known.set(observation, found);
  return found;
}

function shownFor(reading: Measured, prediction: Prediction, p: number): Shown {
  const given = steadiness(reading, p);
  if (reading.unsteady === true) {
    return { given, weighed: null, slip: 0, alone: given, others: [] };
  }
  const open = reading.quantity === "resistance" ? overRange(prediction.mean) : 0;
  if (reading.value === null || open > 0.5) {
    return openOrNot(reading, reading.value === null ? open : 1 - open, given);
  }
  const weighed = weighedOf(reading, reading.value, prediction);
  const sd = Math.sqrt(weighed.noise ** 2 + weighed.loads.own);
  const density = -0.5 * (weighed.residual / sd) ** 2 - Math.log(sd * Math.sqrt(2 * Math.PI));
  const alone = given + logSum(density, weighed.logSlipOdds);
  return { given, weighed, slip: 0, alone, others: [] };
}

/** Open where a number was predicted, a number where open was, or open as predicted. */
function openOrNot(reading: Measured, agrees: number, given: number): Shown {
  const slip = slipRate(reading);
  const density = reading.value === null ? 1 : Math.exp(logSlip(reading));
  const ifSlip = reading.value === null ? 0.6 : density;
  const total = (1 - slip) * Math.max(agrees, HARDLY) * density + slip * ifSlip;
  const alone = given + Math.log(total);
  const blame = (slip * ifSlip) / total;
  return { given: alone, weighed: null, slip: blame, alone, others: [] };
}

function weighedOf(reading: Measured, value: number, prediction: Prediction): Weighed {
  const scale = scaleOf(reading.quantity);
  const loaded = reading.quantity === "voltage" && isLoaded(reading.condition);
  const slip = slipRate(reading);
  return {
    residual: scale.at(value) - prediction.scaled,
    loads: prediction.loads,
    noise: readingNoise(reading.quantity, value, loaded, reading.u) * scale.slope(value),
    logSlipOdds: Math.log(slip / (1 - slip)) + logSlip(reading),
    logHonest: Math.log1p(-slip),
  };
}

function slipRate(reading: Measured): number {
  const nothing = reading.value === null || isZero(reading);
  // Several samples that agree, or sink together, were taken with good contact.
  if (!nothing) return reading.unsteady === false ? SLIP.steady : SLIP.single;
  return reading.proved ? SLIP.proved : SLIP.unprovedZero;
}

function isZero(reading: Measured): boolean {
  return reading.quantity === "voltage" && Math.abs(reading.value ?? 0) < 0.1;
}

/** Density of a slip on the scale: mostly nothing (a lifted probe), else anything. */
function logSlip(reading: Measured): number {
  if (reading.quantity === "resistance") return Math.log(0.4 / 19);
  return Math.log(isZero(reading) ? 0.6 / 0.2 : 0.4 / 40);
}

/** Log probability that several samples jumped about, or that they did not. */
function steadiness(reading: Measured, p: number): number {
  if (reading.unsteady === null) return 0;
  const jumps = UNSTEADY_HAND + (1 - UNSTEADY_HAND) * p;
  return Math.log(reading.unsteady ? jumps : 1 - jumps);
}

function plus(shown: Shown, log: number): Shown {
  return { ...shown, given: shown.given + log, alone: shown.alone + log };
}

function logSum(a: number, b: number): number {
  const most = Math.max(a, b);
  return most + Math.log(Math.exp(a - most) + Math.exp(b - most));
}

export type { Evidence };
