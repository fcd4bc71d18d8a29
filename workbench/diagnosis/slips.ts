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
  const pairs = standsOut(readings.length) ? pairsOf(readings, pile) : 0;
  for (let at = 0; at < pairs; at += 1) top = Math.max(top, pairLogs[at] ?? 0);
  let total = Math.exp(-top);
  for (let i = 0; i < readings.length; i += 1) {
    const share = Math.exp((logs[i] ?? 0) - top);
    total += share;
    shares[i] = share;
  }
  if (pairs > 0) total += sharedByPairs(readings.length, top);
  for (let i = 0; i < readings.length; i += 1) {
    blame[readings[i]?.index ?? 0] = (shares[i] ?? 0) / total;
  }
  return honest + Math.log(total) + top;
}

/**
 * Used again each time: per reading its log odds of being the only slip and its share of all; per
 * pair, (1, 0), (2, 0), (2, 1), …, the log odds of both being slips.
 */
const logs: number[] = [];
const shares: number[] = [];
const pairLogs: number[] = [];

function standsOut(count: number): boolean {
  for (let i = 0; i < count; i += 1) if ((logs[i] ?? 0) > PAIRS_FROM) return true;
  return false;
}

/** Fills the log odds of the pairs and tells how many there are. */
function pairsOf(readings: readonly Numbered[], pile: Pile): number {
  let count = 0;
  for (let i = 1; i < readings.length; i += 1) {
    const one = readings[i]?.weighed.logSlipOdds ?? 0;
    for (let j = 0; j < i; j += 1) {
      pairLogs[count] = one + (readings[j]?.weighed.logSlipOdds ?? 0) - pile.pair(i, j);
      count += 1;
    }
  }
  return count;
}

/** Adds each pair to the shares of both; the sum of all pairs. */
function sharedByPairs(readings: number, top: number): number {
  let total = 0;
  let at = 0;
  for (let i = 1; i < readings; i += 1) {
    for (let j = 0; j < i; j += 1) {
      const share = Math.exp((pairLogs[at] ?? 0) - top);
      at += 1;
      total += share;
      shares[i] = (shares[i] ?? 0) + share;
      shares[j] = (shares[j] ?? 0) + share;
    }
  }
  return total;
}
