import type { BenchCondition } from "../models/model.js";
import type { Loads } from "./gaussian.js";
import type { Hypotheses, Hypothesis } from "./hypotheses.js";
import { showing } from "./intermittent.js";

export interface Prediction {
  /** The same for all predictions of a target that agree in every figure that matters. */
  readonly id: number;
  /** Volts or ohms. */
  readonly mean: number;
  /** The mean on the scale of its quantity. */
  readonly scaled: number;
  /** How far the reading moves on that scale for one standard deviation of each unknown value. */
  readonly loads: Loads;
}

/** One of the things a reading may show under a hypothesis, with its log probability. */
interface Option {
  readonly prediction: Prediction;
  readonly log: number;
}
export type Options = readonly [Option, ...Option[]];

/** How often the protection of a pack acts on a blocked motor before the reading is taken. */
const TRIPS = 0.5;

/** One measurement's predictions, by hypothesis. */
export class Column {
  private readonly ofNumbered: (Options | undefined)[];
  private readonly ofOthers = new Map<Hypothesis, Options>();

  constructor(
    private readonly condition: BenchCondition,
    private readonly hypotheses: Hypotheses,
    /** What is predicted; where there is a reason, also what after the protection has acted. */
    private readonly held: (hypothesis: Hypothesis) => Options,
  ) {
    this.ofNumbered = new Array<Options | undefined>(hypotheses.doubles.length).fill(undefined);
  }

  options(hypothesis: Hypothesis): Options {
    const { number } = hypothesis;
    const known = number < 0 ? this.ofOthers.get(hypothesis) : this.ofNumbered[number];
    if (known !== undefined) return known;
    const made = this.make(hypothesis);
    if (number < 0) this.ofOthers.set(hypothesis, made);
    else this.ofNumbered[number] = made;
    return made;
  }

  /** An intermittent fault shows at one touch and not at the next. */
  private make(hypothesis: Hypothesis): Options {
    const steady = this.held(this.hypotheses.steady(hypothesis));
    if (hypothesis.fickle.length === 0) return steady;
    const shown = this.held(hypothesis);
    if (steady.length === shown.length && same(steady[0].prediction, shown[0].prediction)) {
      return steady;
    }
    const p = Math.max(...hypothesis.fickle.map((fault) => showing(fault, this.condition)));
    const [first, ...rest] = steady.map((option) => less(option, 1 - p));
    return [first ?? steady[0], ...rest, ...shown.map((option) => less(option, p))];
  }
}

/** One thing to show, or another once the protection has acted. */
export function optionsOf(normal: Prediction, tripped: Prediction | null): Options {
  if (tripped === null || same(normal, tripped)) return [{ prediction: normal, log: 0 }];
  return [
    { prediction: normal, log: Math.log(1 - TRIPS) },
    { prediction: tripped, log: Math.log(TRIPS) },
  ];
}

function less({ prediction, log }: Option, p: number): Option {
  return { prediction, log: log + Math.log(p) };
}

function same(a: Prediction, b: Prediction): boolean {
  return a.id === b.id || Math.abs(a.mean - b.mean) <= 1e-6 * Math.max(1, Math.abs(a.mean));
}
