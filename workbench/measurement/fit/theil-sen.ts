export interface RobustLine {
  /** Median of the slopes of all pairs. */
  readonly slope: number;
  /** Through the medians of both. */
  readonly intercept: number;
}

/** Pairs grow with the square of the readings: more are thinned evenly. */
const MOST = 300;

/**
 * A line that a few wild readings do not move (Theil 1950, Sen 1968; intercept as in the USEPA
 * Unified Guidance 2009, 17.3.3). NaN where all x are alike.
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>): RobustLine {
  const stride = Math.max(1, Math.ceil(x.length / MOST));
  const kept = Array.from(
    { length: Math.floor((x.length - 1) / stride) + 1 },
    (_, k) => k * stride,
  );
  const slopes: number[] = [];
  for (const a of kept) {
    for (const b of kept) {
      const dx = (x[b] as number) - (x[a] as number);
      if (b > a && dx !== 0) slopes.push(((y[b] as number) - (y[a] as number)) / dx);
    }
  }
  const slope = middle(slopes);
  const level = middle(kept.map((k) => y[k] as number));
  return { slope, intercept: level - slope * middle(kept.map((k) => x[k] as number)) };
}

function middle(values: number[]): number {
  const sorted = values.sort((a, b) => a - b);
  const half = sorted.length >> 1;
  const upper = sorted[half] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[half - 1] ?? Number.NaN)) / 2;
}
