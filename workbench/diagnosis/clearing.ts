import type { FaultMode } from "../models/model.js";
import type { Variant } from "./compile.js";
import type { Hypothesis } from "./hypotheses.js";
import { weightOf } from "./infer.js";
import type { Explained, Posterior } from "./infer.js";
import type { Observation } from "./observation.js";
import { evidenceOf } from "./evidence.js";
import type { Predictor } from "./predict.js";

/** What the readings rule out of a part's faults. */
interface Clearing {
  /** Share of its possible faults, by odds, that the readings speak against. */
  readonly tested: number;
  /** The readings that do so, as few as say it all, the most telling first. */
  readonly readings: readonly Observation[];
  readonly untested: readonly FaultMode[];
}

/** Readings speak against a fault when they are this many times likelier without it (as a log). */
const SPEAKS = Math.log(20);
/** One reading alone has a part in that from here on. */
const HAS_A_PART = Math.log(3);
/** More than so many readings are not told. */
const TOLD = 2;

/** Adds each fault of the part to the best explanation and weighs all readings with and without. */
export function clearing(posterior: Posterior, best: Explained, part: number): Clearing {
  const { predictor, observations } = posterior;
  const variants = predictor.compiled.variants.filter((variant) => variant.part === part);
  const total = variants.reduce((sum, variant) => sum + variant.odds, 0);
  const sound = weightOf(predictor, observations, best.hypothesis);
  const faulty = variants.map((variant) => plus(predictor, best.hypothesis, variant));
  const ruledOut = faulty.map((one) => sound - weightOf(predictor, observations, one) > SPEAKS);
  const tested = variants.reduce((sum, { odds }, v) => (ruledOut[v] ? sum + odds : sum), 0) / total;
  const untested = variants.filter((_, v) => !ruledOut[v]).map(({ mode }) => mode);
  const speaking = variants.flatMap((variant, v) =>
    ruledOut[v] ? [{ variant, gains: gainsOf(predictor, observations, best, faulty[v]) }] : [],
  );
  return { tested, readings: telling(observations, speaking), untested: [...new Set(untested)] };
}

/** How much each reading by itself speaks against a fault. */
function gainsOf(
  predictor: Predictor,
  observations: readonly Observation[],
  best: Explained,
  faulty: Hypothesis | undefined,
): number[] {
  return observations.map((observation) => {
    const evidence = evidenceOf(predictor, observation);
    if (faulty === undefined) return 0;
    return evidence.shown(best.hypothesis).alone - evidence.shown(faulty).alone;
  });
}

interface Speaking {
  readonly variant: Variant;
  readonly gains: readonly number[];
}

/** The reading that says most, then the one that says most of what is left. */
function telling(
  observations: readonly Observation[],
  speaking: readonly Speaking[],
): Observation[] {
  const told: Observation[] = [];
  let left = speaking;
  while (left.length > 0 && told.length < TOLD) {
    const votes = observations.map((_, i) =>
      left.reduce((sum, { variant, gains }) => sum + variant.odds * vote(gains[i] ?? 0), 0),
    );
    const top = votes.reduce((most, one, i) => (one > (votes[most] ?? 0) ? i : most), 0);
    const reading = observations[top];
    if (reading === undefined || !((votes[top] ?? 0) > 0)) break;
    told.push(reading);
    left = left.filter(({ gains }) => (gains[top] ?? 0) < HAS_A_PART);
  }
  return told;
}

function vote(gain: number): number {
  return Math.min(10, Math.max(0, gain));
}

function plus({ hypotheses }: Predictor, base: Hypothesis, variant: Variant): Hypothesis {
  const others = base.faults.filter((fault) => fault.part !== variant.part);
  const faults = [...others, variant].sort((a, b) => a.index - b.index);
  return hypotheses.of(faults, base.manners, base.odds);
}
