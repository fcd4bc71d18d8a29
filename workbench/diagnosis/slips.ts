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
 * can weigh thousands of nats. Plain loops, as on the pile.
 */
export function withSlips(readings: readonly Numbered[], pile: Pile, blame: number[]): number {
  pile.solve();
  let honest = pile.logDensity;
  let top = 0;
  for (let i = 0; i < readings.length; i += 1) {
    const weighed = readings[i]?.weighed;
    if (weighed === undefined) continue;
    honest += weighed.logHonest;
    const log = weighed.logSlipOdds - pile.alone(i);
    logs[i] = log;
    if (log > top) top = log;
  }
  // Two slips at once matter only where at least one of them stands out.
  const pairs = standsOut(readings.length) ? pairsOf(readings, pile) : [];
  for (const { log } of pairs) if (log > top) top = log;
  let total = Math.exp(-top);
  for (let i = 0; i < readings.length; i += 1) {
    const share = Math.exp((logs[i] ?? 0) - top);
    total += share;
    shares[i] = share;
  }
  for (const { i, j, log } of pairs) {
    const share = Math.exp(log - top);
    total += share;
    shares[i] = (shares[i] ?? 0) + share;
    shares[j] = (shares[j] ?? 0) + share;
  }
  for (let i = 0; i < readings.length; i += 1) {
    blame[readings[i]?.index ?? 0] = (shares[i] ?? 0) / total;
  }
  return honest + Math.log(total) + top;
}

/** Used again each time: per reading its log odds of being the only slip, and its share of all. */
const logs: number[] = [];
const shares: number[] = [];

function standsOut(count: number): boolean {
  for (let i = 0; i < count; i += 1) if ((logs[i] ?? 0) > PAIRS_FROM) return true;
  return false;
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
