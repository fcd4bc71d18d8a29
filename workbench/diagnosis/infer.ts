import type { Hypothesis } from "./hypotheses.js";
import { HOPELESS, alive } from "./alive.js";
import { evidenceOf } from "./evidence.js";
import type { Evidence, Shown } from "./evidence.js";
import { Fits } from "./likelihood.js";
import type { Fit } from "./likelihood.js";
import type { Observation } from "./observation.js";
import { straighten } from "./polarity.js";
import type { Predictor } from "./predict.js";
import { linked } from "./sighting.js";

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
const NEGLIGIBLE = 1e-7;

/** Exact over no, one and two faults; three where two of them explain the readings well. */
export function infer(predictor: Predictor, taken: readonly Observation[]): Posterior {
  const { observations, reversed } = straighten(predictor, linked(predictor.compiled.model, taken));
  const evidence = observations.map((one) => evidenceOf(predictor, one));
  const doubles = weigh(evidence, predictor.doubles);
  const bases = normalised(doubles, TRIPLE.above)
    .filter((one) => one.hypothesis.faults.length === 2)
    .slice(0, TRIPLE.most);
  const triples = unique(bases.flatMap((one) => predictor.extended(one.hypothesis)));
  const explained = normalised([...doubles, ...weigh(evidence, triples)]);
  return { ...summarise(predictor, observations, explained), reversed };
}

interface Logged {
  readonly hypothesis: Hypothesis;
  readonly fit: Fit;
  readonly log: number;
}

function weigh(evidence: readonly Evidence[], hypotheses: readonly Hypothesis[]): Logged[] {
  const groups = alive(evidence, hypotheses);
  const fits = new Fits(groups.map(({ shown }) => shown));
  const fitted = groups.map(({ shown }) => fits.of(shown));
  const logs = groups.map(({ most }, i) => most + (fitted[i]?.logLikelihood ?? 0));
  const floor = logs.reduce((best, log) => Math.max(best, log), -Infinity) - HOPELESS.most;
  const logged: Logged[] = [];
  groups.forEach((group, i) => {
    const first = fitted[i];
    // What is so far below the best is negligible beside the figures shown.
    if (first === undefined || (logs[i] ?? 0) < floor) return;
    const fit = refined(group.shown, first, fits);
    for (const hypothesis of group.hypotheses) {
      logged.push({ hypothesis, fit, log: fit.logLikelihood + hypothesis.logOdds });
    }
  });
  return logged;
}

/** Log likelihood of everything observed, given one hypothesis. */
export function weightOf(
  predictor: Predictor,
  observations: readonly Observation[],
  hypothesis: Hypothesis,
): number {
  const shown = observations.map((one) => evidenceOf(predictor, one).shown(hypothesis));
  const fits = new Fits([shown]);
  return refined(shown, fits.of(shown), fits).logLikelihood;
}

/**
 * Where an intermittent fault could have shown or not, the readings decide together: one by one
 * the other option is taken where all readings then fit better.
 */
function refined(shown: readonly Shown[], fit: Fit, fits: Fits): Fit {
  let [best, bestShown] = [fit, shown];
  shown.forEach(({ others }, i) => {
    for (const other of others) {
      const changed = bestShown.with(i, other);
      const made = fits.of(changed);
      if (made.logLikelihood > best.logLikelihood) [best, bestShown] = [made, changed];
    }
  });
  return best;
}

function normalised(logged: readonly Logged[], above = NEGLIGIBLE): Explained[] {
  const most = logged.reduce((top, one) => Math.max(top, one.log), -Infinity);
  const total = logged.reduce((sum, one) => sum + Math.exp(one.log - most), 0);
  const floor = most + Math.log(above * total);
  return logged
    .filter((one) => one.log > floor)
    .map(({ hypothesis, fit, log }) => {
      return { hypothesis, fit, probability: Math.exp(log - most) / total };
    })
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

/**
 * How a candidate's parts have failed, the likeliest first: all hypotheses with the same faults
 * count together, however many cells a fault is cut into.
 */
export function waysOf({ explained, probability }: Candidate): Way[] {
  const ways = new Map<string, { hypothesis: Hypothesis; share: number }>();
  for (const one of explained) {
    const name = one.hypothesis.faults.map(({ part, mode }) => `${part} ${mode.id}`).join(" ");
    const known = ways.get(name) ?? { hypothesis: one.hypothesis, share: 0 };
    ways.set(name, { ...known, share: known.share + one.probability / probability });
  }
  return [...ways.values()].sort((a, b) => b.share - a.share);
}

interface Way {
  /** The likeliest of those with these faults. */
  readonly hypothesis: Hypothesis;
  /** Of the candidate's probability, 0 to 1. */
  readonly share: number;
}

/** The likeliest first; of equals (two leads that nothing tells apart) the one nearer the supply. */
function byProbability(a: Candidate, b: Candidate): number {
  const more = Math.round((b.probability - a.probability) * 1e9);
  if (more !== 0) return more;
  return a.parts.length - b.parts.length || firstDifference(a.parts, b.parts);
}

function firstDifference(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((part, i) => part !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) - (b[at] ?? 0);
}

function summarise(
  predictor: Predictor,
  observations: readonly Observation[],
  explained: readonly Explained[],
): Omit<Posterior, "reversed"> {
  const byParts = new Map<string, Explained[]>();
  for (const one of explained) {
    const key = one.hypothesis.partsName;
    const group = byParts.get(key);
    if (group === undefined) byParts.set(key, [one]);
    else group.push(one);
  }
  const candidates = [...byParts.values()]
    .map((group) => ({
      parts: group[0]?.hypothesis.parts ?? [],
      probability: group.reduce((sum, one) => sum + one.probability, 0),
      explained: group,
    }))
    .sort(byProbability);
  const parts = predictor.compiled.model.parts.map((_, part) =>
    candidates.reduce((sum, c) => (c.parts.includes(part) ? sum + c.probability : sum), 0),
  );
  const slips = observations.map((_, i) =>
    explained.reduce((sum, one) => sum + one.probability * (one.fit.slips[i] ?? 0), 0),
  );
  return { predictor, observations, candidates, explained, parts, slips };
}
