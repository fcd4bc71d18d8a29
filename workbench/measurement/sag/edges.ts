import { fitExponentials } from "../fit/exponentials.js";

/** An interval in which the current jumped. */
export interface Edge {
  /** The first reading after the jump. */
  readonly at: number;
  /** Length of the interval that the jump fell into. */
  readonly dt: number;
  readonly rises: boolean;
  /** Time constant of the running up that follows; Infinity where none was seen. */
  readonly runUp_s: number;
  /** Whether a peak of the current may have fallen between the readings unseen. */
  readonly mayHide: boolean;
  /** First reading that the running up says nothing of. */
  readonly until: number;
}

/** More edges than this are not followed each on its own. */
const MOST_EDGES = 40;
/**
 * A motor takes some 20 ms or more to run up (common practice, no source), and leaves a hundredth of
 * its peak after five times that: where the next reading shows none of it, there was none.
 */
const PEAK_GONE_S = 0.11;
/** A running up seen by fewer readings than this in its time constant hides part of its peak. */
const READINGS_PER_RUN_UP = 2;
/** The running up is looked for in so many seconds after the edge. */
const RUN_UP_SEEN_S = 1.5;

/**
 * Intervals in which the current jumped up, or fell to rest. What it rises more slowly, or falls
 * while it flows, is a motor's running up or a load that changes.
 */
export function edgesOf(t: Float64Array, i: Float64Array, resting: readonly boolean[]): Edge[] {
  const [low, high] = extremes(i);
  const change = (k: number): number =>
    k < i.length ? (i[k] as number) - (i[k - 1] as number) : 0;
  const found: number[] = [];
  for (let k = 1; k < i.length && found.length < MOST_EDGES; k++) {
    const size = Math.abs(change(k));
    const steep = change(k) * change(k + 1) <= 0 || size > 2 * Math.abs(change(k + 1));
    const counts = change(k) > 0 || resting[k] === true;
    if (size > 0.15 * (high - low) && steep && counts) found.push(k);
  }
  return found.map((at, j) => edgeAt(t, i, at, found[j + 1] ?? i.length));
}

function extremes(values: Float64Array): [number, number] {
  return values.reduce<[number, number]>(
    ([low, high], x) => [Math.min(low, x), Math.max(high, x)],
    [Infinity, -Infinity],
  );
}

function edgeAt(t: Float64Array, i: Float64Array, at: number, next: number): Edge {
  const begin_s = t[at] as number;
  const dt = Math.max(1e-9, begin_s - (t[at - 1] as number));
  const rises = (i[at] as number) > (i[at - 1] as number);
  let until = at;
  while (until < next && (t[until] as number) - begin_s <= RUN_UP_SEEN_S) until++;
  const seen_s = rises ? runUp(t.subarray(at, until), i.subarray(at, until)) : Infinity;
  const clear = Number.isFinite(seen_s) ? dt * READINGS_PER_RUN_UP <= seen_s : dt <= PEAK_GONE_S;
  // Faster than a third of the interval it cannot be told from noise.
  return { at, dt, rises, runUp_s: Math.max(seen_s, dt / 3), mayHide: rises && !clear, until };
}

/** A motor that runs up draws run + (inrush − run)·exp(−t/T): T, or Infinity where it is not seen. */
function runUp(t: Float64Array, i: Float64Array): number {
  const begin = t[0] as number;
  const fit = fitExponentials(
    t.map((x) => x - begin),
    i,
    1,
  );
  const term = fit?.terms[0];
  return term !== undefined && term.amplitude > 0 ? term.tau_s : Infinity;
}
