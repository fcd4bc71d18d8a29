import type { Trace } from "./state.js";

/** More points than the widest plot has pixels are of no use. */
const MOST_POINTS = 2000;

/**
 * Adds points at the end; the oldest go. The columns stay equally long. A point that comes again
 * with the same time has grown wider since and replaces the one before.
 */
export function extendTrace(before: Trace | undefined, more: Trace): Trace {
  const kept = before === undefined ? 0 : keptCount(before.time_s, more.time_s[0]);
  return {
    time_s: extend(before?.time_s, kept, more.time_s),
    low: extend(before?.low, kept, more.low),
    high: extend(before?.high, kept, more.high),
  };
}

function keptCount(times: readonly number[], first: number | undefined): number {
  let count = times.length;
  if (first === undefined) return count;
  while (count > 0 && (times[count - 1] ?? 0) >= first) count -= 1;
  return count;
}

function extend<T>(
  before: readonly T[] | undefined,
  kept: number,
  more: readonly T[],
): readonly T[] {
  return [...(before ?? []).slice(0, kept), ...more].slice(-MOST_POINTS);
}
