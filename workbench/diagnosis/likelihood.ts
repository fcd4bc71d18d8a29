import type { Shown, Weighed } from "./evidence.js";
import { joint, logGivenOthers, logPairGivenOthers } from "./gaussian.js";
import type { Joint } from "./gaussian.js";

/** How well one hypothesis explains everything that was observed. */
export interface Fit {
  readonly logLikelihood: number;
  /** Probability, given the hypothesis, that observation i is a slip of the hand. */
  readonly slips: readonly number[];
  /** The joint density of the readings that count as numbers, for predicting the next. */
  readonly joint: Joint;
  readonly loads: readonly Float64Array[];
}

/** Natural log of the likelihood of everything observed, and who is to blame where it is low. */
export function fit(shown: readonly Shown[]): Fit {
  const slips = shown.map(() => 0);
  const numeric: Weighed[] = [];
  const where: number[] = [];
  let log = 0;
  shown.forEach(({ given, weighed, slip }, index) => {
    log += given;
    if (weighed === null) {
      slips[index] = slip;
      return;
    }
    numeric.push(weighed);
    where.push(index);
  });
  const together = jointOf(numeric);
  log += withSlips(numeric, together, (i, share) => {
    const index = where[i] ?? 0;
    slips[index] = (slips[index] ?? 0) + share;
  });
  // A reading that is probably a slip must not pull the prediction of the next one.
  const trusted = numeric.filter((_, i) => (slips[where[i] ?? 0] ?? 0) < 0.5);
  return {
    logLikelihood: log,
    slips,
    joint: trusted.length === numeric.length ? together : jointOf(trusted),
    loads: trusted.map((reading) => reading.loads),
  };
}

function jointOf(readings: readonly Weighed[]): Joint {
  return joint(
    readings.map((reading) => reading.residual),
    readings.map((reading) => reading.loads),
    readings.map((reading) => reading.noise),
  );
}

/**
 * None, any one or any two of the readings being slips, summed; tells each its share of the
 * blame. In logarithms,
 * because one impossible reading can weigh thousands of nats.
 */
function withSlips(
  readings: readonly Weighed[],
  together: Joint,
  blame: (reading: number, share: number) => void,
): number {
  const size = readings.length;
  const own = readings.map((reading) => reading.logSlipOdds);
  const one = own.map((log, i) => log - logGivenOthers(together, i));
  let top = one.reduce((most, log) => Math.max(most, log), -Infinity);
  const standsOut = top > PAIRS_FROM;
  top = Math.max(0, top);
  // Two slips at once matter only where at least one of them stands out.
  const pairs = standsOut ? pairsOf(own, together) : null;
  if (pairs !== null) for (const log of pairs) if (log > top) top = log;
  let total = Math.exp(-top);
  const shares = one.map((log) => Math.exp(log - top));
  for (const share of shares) total += share;
  pairs?.forEach((log, at) => {
    if (log === -Infinity) return;
    const share = Math.exp(log - top);
    const [i, j] = [Math.floor(at / size), at % size];
    total += share;
    shares[i] = (shares[i] ?? 0) + share;
    shares[j] = (shares[j] ?? 0) + share;
  });
  shares.forEach((share, i) => blame(i, share / total));
  const honest = readings.reduce((log, reading) => log + reading.logHonest, 0);
  return together.logDensity + honest + Math.log(total) + top;
}

/** Log odds of a single slip, from which on pairs are looked at (0.01). */
const PAIRS_FROM = Math.log(0.01);

/** Log odds of readings i and j both being slips, at i·size + j for j < i; −∞ elsewhere. */
function pairsOf(own: readonly number[], together: Joint): Float64Array {
  const { size } = together;
  const pairs = new Float64Array(size * size).fill(-Infinity);
  for (let i = 0; i < size; i += 1) {
    for (let j = 0; j < i; j += 1) {
      const log = (own[i] ?? 0) + (own[j] ?? 0) - logPairGivenOthers(together, i, j);
      pairs[i * size + j] = log;
    }
  }
  return pairs;
}
