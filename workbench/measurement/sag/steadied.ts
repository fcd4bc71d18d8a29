/** Readings on either side that may be averaged with one. */
const HALF_WIDTH = 20;
/** In standard deviations: a stretch that bends more is not straight. */
const STRAIGHT = 1;

/** How each value came about: of what was read, itself; a mean of neighbours; the level at no load. */
const OWN = 0;
const NEIGHBOURS = 1;
const LEVEL = 2;

export interface Steadied {
  readonly values: Float64Array;
  /** Standard deviation of the noise in each, apart from that of the level at no load. */
  readonly noise: Float64Array;
  readonly origin: Uint8Array;
  /** Readings that the level at no load is the mean of. */
  readonly resting: readonly boolean[];
  /** Covariance of the noise in value k with that in the one before, in variances of a reading. */
  shared(k: number): number;
}

/**
 * A current with its noise taken out as far as can be known: at no load it is one constant, and
 * elsewhere the mean of neighbours that lie on a straight line within the noise. Noise in a current
 * that a voltage is fitted to makes every resistance come out too small (errors in variables), and
 * summed up it wanders. Where the current truly moves, each reading stands for itself.
 */
export function steadied(
  values: Float64Array,
  noise: number,
  resting: readonly boolean[],
): Steadied {
  const rest = values.filter((_, k) => resting[k]);
  const level = rest.reduce((sum, value) => sum + value, 0) / Math.max(1, rest.length);
  const steady = Float64Array.from(values);
  const left = new Float64Array(values.length).fill(noise);
  const origin = new Uint8Array(values.length);
  for (let k = 0; k < values.length; k++) {
    if (resting[k] && Math.abs((values[k] as number) - level) <= 6 * noise) {
      [steady[k], left[k], origin[k]] = [level, 0, LEVEL];
      continue;
    }
    const mean = straightMean(values, k, HALF_WIDTH, noise);
    if (mean === null) continue;
    [steady[k], left[k], origin[k]] = [mean, noise / Math.sqrt(WIDTH), NEIGHBOURS];
  }
  const shared = (k: number): number =>
    origin[k] === NEIGHBOURS && origin[k - 1] === NEIGHBOURS ? (WIDTH - 1) / WIDTH ** 2 : 0;
  return { values: steady, noise: left, origin, resting, shared };
}

const WIDTH = 2 * HALF_WIDTH + 1;

/** The transpose: what a weighted sum of the steadied values weighs each reading with. */
export function takeBack({ origin, resting }: Steadied, weights: Float64Array): Float64Array {
  const n = weights.length;
  const result = new Float64Array(n);
  let ofLevel = 0;
  for (let k = 0; k < n; k++) {
    const weight = weights[k] as number;
    if (origin[k] === LEVEL) ofLevel += weight;
    else if (origin[k] === OWN) result[k] = (result[k] as number) + weight;
    else {
      for (let m = k - HALF_WIDTH; m <= k + HALF_WIDTH; m++) {
        result[m] = (result[m] as number) + weight / WIDTH;
      }
    }
  }
  const many = resting.reduce((sum, rests) => sum + Number(rests), 0);
  return result.map((value, k) => (resting[k] ? value + ofLevel / many : value));
}

/** Mean over k ± half where no trend, bend or single reading stands out of the noise; else null. */
function straightMean(values: Float64Array, k: number, half: number, noise: number): number | null {
  if (k < half || k + half >= values.length) return null;
  const n = 2 * half + 1;
  const spread = (half * (half + 1)) / 3;
  let sum = 0;
  let slope = 0;
  let bend = 0;
  let bendSquares = 0;
  for (let m = -half; m <= half; m++) {
    const value = values[k + m] as number;
    const form = m * m - spread;
    sum += value;
    slope += m * value;
    bend += form * value;
    bendSquares += form * form;
  }
  const mean = sum / n;
  if (Math.abs(bend) > STRAIGHT * noise * Math.sqrt(bendSquares)) return null;
  slope /= n * spread;
  for (let m = -half; m <= half; m++) {
    if (Math.abs((values[k + m] as number) - mean - slope * m) > 4 * noise) return null;
  }
  return mean;
}
