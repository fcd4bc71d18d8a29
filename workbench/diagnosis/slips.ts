import type { Weighed } from "./evidence.js";
import type { Pile } from "./gaussian.js";

interface Numbered {
  /** Place among the observations. */
  readonly index: number;
  readonly weighed: Weighed;
}

/** Log odds of a single slip, from which on pairs are looked at (0.01). */
const PAIRS_FROM = Math.log(0.01);

/**
 * Log density of the readings on the pile with none, any one or any two of them being slips of the
 * hand, summed; writes each one's share of the blame. In logarithms, because one impossible reading
 * can weigh thousands of nats.
 */
export function withSlips(readings: readonly Numbered[], pile: Pile, blame: number[]): number {
  pile.solve();
  let honest = pile.logDensity;
  let top = -Infinity;
  const one = readings.map(({ weighed: { logSlipOdds, logHonest } }, i) => {
    honest += logHonest;
    const log = logSlipOdds - pile.alone(i);
    if (log > top) top = log;
    return log;
  });
  // Two slips at once matter only where at least one of them stands out.
  const pairs = top > PAIRS_FROM ? pairsOf(readings, pile) : [];
  top = pairs.reduce((most, { log }) => Math.max(most, log), Math.max(0, top));
  const shares = one.map((log) => Math.exp(log - top));
  let total = shares.reduce((sum, share) => sum + share, Math.exp(-top));
  for (const { i, j, log } of pairs) {
    const share = Math.exp(log - top);
    total += share;
    shares[i] = (shares[i] ?? 0) + share;
    shares[j] = (shares[j] ?? 0) + share;
  }
  readings.forEach(({ index }, i) => (blame[index] = (shares[i] ?? 0) / total));
  return honest + Math.log(total) + top;
}

interface Pair {
  readonly i: number;
  readonly j: number;
  /** Log odds of both being slips. */
  readonly log: number;
}

function pairsOf(readings: readonly Numbered[], pile: Pile): Pair[] {
  return readings.flatMap(({ weighed: { logSlipOdds } }, i) =>
    readings.slice(0, i).map(({ weighed }, j) => {
      const log = logSlipOdds + weighed.logSlipOdds - pile.pair(i, j);
      return { i, j, log };
    }),
  );
}
