import { partsOf } from "./hypotheses.js";
import type { Hypothesis } from "./hypotheses.js";
import { Evidence } from "./evidence.js";
import type { Shown } from "./evidence.js";
import { fit } from "./likelihood.js";
import type { Fit } from "./likelihood.js";
import type { Observation } from "./observation.js";
import { straighten } from "./polarity.js";
import type { Predictor } from "./predict.js";

export interface Explained {
  readonly hypothesis: Hypothesis;
  readonly fit: Fit;
  /** Given everything observed, 0 to 1. */
  readonly probability: number;
}

/** All hypotheses with the same parts at fault. */
export interface Candidate {
  /** Indices of parts in the order of the path; empty: nothing is at fault. */
  readonly parts: readonly number[];
  readonly probability: number;
  /** Its hypotheses, the likeliest first. */
  readonly explained: readonly Explained[];
}

export interface Posterior {
  readonly predictor: Predictor;
  /** With the right sign where the leads were the other way round. */
  readonly observations: readonly Observation[];
  readonly reversed: readonly boolean[];
  /** The likeliest first. */
  readonly candidates: readonly Candidate[];
  readonly explained: readonly Explained[];
  /** Per part, probability of being at fault. */
  readonly parts: readonly number[];
  /** Per observation, probability of being a slip of the hand (bad contact, wrong point). */
  readonly slips: readonly number[];
}

/** Doubles worth extending to triples: by posterior, and at most so many. */
const TRIPLE = { above: 0.03, most: 8 };
/** What is dropped from the posterior, all together negligible beside the figures shown. */
const NEGLIGIBLE = 1e-8;

/** Exact over no, one and two faults; three where two of them explain the readings well. */
export function infer(predictor: Predictor, taken: readonly Observation[]): Posterior {
  const { observations, reversed } = straighten(predictor, taken);
  const doubles = weigh(predictor, predictor.doubles, observations);
  const bases = normalised(doubles)
    .filter((one) => one.hypothesis.faults.length === 2 && one.probability > TRIPLE.above)
    .slice(0, TRIPLE.most);
  const triples = unique(bases.flatMap((one) => predictor.extended(one.hypothesis)));
  const explained = normalised([...doubles, ...weigh(predictor, triples, observations)]);
  return { ...summarise(predictor, observations, explained), reversed };
}

interface Logged {
  readonly hypothesis: Hypothesis;
  readonly fit: Fit;
  readonly log: number;
}

/**
 * A hypothesis is weighed in full only when its readings, taken one by one, are not hopeless: less
 * than e^−30 of the best. A slip of the hand costs at most e^−11, so one that is true is not lost.
 */
const HOPELESS = 30;

function weigh(
  predictor: Predictor,
  hypotheses: readonly Hypothesis[],
  observations: readonly Observation[],
): Logged[] {
  const evidence = observations.map((one) => new Evidence(predictor, one));
  const fits = new Fits();
  const logged = alive(evidence, hypotheses).map((hypothesis) => {
    const shown = evidence.map((item) => item.shown(hypothesis));
    const made = fits.of(shown);
    const log = made.logLikelihood + Math.log(hypothesis.odds);
    return { hypothesis, shown, fit: made, log };
  });
  const floor = logged.reduce((most, one) => Math.max(most, one.log), -Infinity) - HOPELESS;
  return logged.map((one) => (one.log < floor ? one : refined(one, fits)));
}

/**
 * Where an intermittent fault could have shown or not, the readings decide together: one by one
 * the other option is taken where all readings then fit better.
 */
function refined(one: Logged & { readonly shown: readonly Shown[] }, fits: Fits): Logged {
  let { shown, fit: best } = one;
  one.shown.forEach(({ others }, i) => {
    for (const other of others) {
      const changed = shown.with(i, other);
      const made = fits.of(changed);
      if (made.logLikelihood > best.logLikelihood) [shown, best] = [changed, made];
    }
  });
  return { ...one, fit: best, log: one.log - one.fit.logLikelihood + best.logLikelihood };
}

/** Drops the hopeless reading by reading, so that most are asked about a few readings only. */
function alive(
  evidence: readonly Evidence[],
  hypotheses: readonly Hypothesis[],
): readonly Hypothesis[] {
  let left = hypotheses.map((hypothesis) => ({ hypothesis, score: Math.log(hypothesis.odds) }));
  for (const item of evidence) {
    let best = -Infinity;
    for (const one of left) {
      one.score += item.shown(one.hypothesis).alone;
      if (one.score > best) best = one.score;
    }
    left = left.filter((one) => one.score >= best - HOPELESS);
  }
  return left.map((one) => one.hypothesis);
}

interface Branching {
  readonly next: Map<Shown, Branching>;
  fit: Fit | null;
}

/** Most hypotheses differ in nothing that was observed: each distinct fit is computed once. */
class Fits {
  private readonly root: Branching = { next: new Map(), fit: null };

  of(shown: readonly Shown[]): Fit {
    let at = this.root;
    for (const one of shown) {
      let next = at.next.get(one);
      if (next === undefined) at.next.set(one, (next = { next: new Map(), fit: null }));
      at = next;
    }
    return (at.fit ??= fit(shown));
  }
}

function normalised(logged: readonly Logged[]): (Explained & Logged)[] {
  const most = logged.reduce((top, one) => Math.max(top, one.log), -Infinity);
  const total = logged.reduce((sum, one) => sum + Math.exp(one.log - most), 0);
  return logged
    .map((one) => ({ ...one, probability: Math.exp(one.log - most) / total }))
    .filter((one) => one.probability > NEGLIGIBLE)
    .sort((a, b) => b.probability - a.probability);
}

function unique(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const byKey = new Map<string, Hypothesis>();
  for (const hypothesis of hypotheses) {
    const faults = hypothesis.faults.map((fault) => fault.index).join(" ");
    const manners = hypothesis.manners.map((manner) => manner.index).join(" ");
    byKey.set(`${faults}/${manners}`, hypothesis);
  }
  return [...byKey.values()];
}

function summarise(
  predictor: Predictor,
  observations: readonly Observation[],
  explained: readonly Explained[],
): Omit<Posterior, "reversed"> {
  const byParts = new Map<string, Explained[]>();
  for (const one of explained) {
    const key = partsOf(one.hypothesis).join(" ");
    byParts.set(key, [...(byParts.get(key) ?? []), one]);
  }
  const candidates = [...byParts.values()]
    .map((group) => ({
      parts: group[0] === undefined ? [] : partsOf(group[0].hypothesis),
      probability: group.reduce((sum, one) => sum + one.probability, 0),
      explained: group,
    }))
    .sort((a, b) => b.probability - a.probability);
  const parts = predictor.compiled.model.parts.map((_, part) =>
    candidates.reduce((sum, c) => (c.parts.includes(part) ? sum + c.probability : sum), 0),
  );
  const slips = observations.map((_, i) =>
    explained.reduce((sum, one) => sum + one.probability * (one.fit.slips[i] ?? 0), 0),
  );
  return { predictor, observations, candidates, explained, parts, slips };
}
