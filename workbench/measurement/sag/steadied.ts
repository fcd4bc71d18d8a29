/** Readings on either side that may be averaged with one. */
const HALF_WIDTH = 20;
/** In standard deviations: a stretch that bends more is not straight. */
const STRAIGHT = 1;

export interface Steadied {
  readonly values: Float64Array;
  /** Standard deviation of the noise left in each. */
  readonly noise: Float64Array;
}

/**
 * A current with its noise taken out as far as can be known: at no load it is one constant, and
 * elsewhere the mean of neighbours that lie on a straight line within the noise. Noise in a current
 * that a voltage is fitted to makes every resistance come out too small (errors in variables), and
 * summed up it wanders. Where the current truly moves, each reading stands for itself.
 */
export function steadied(values: Float64Array, noise: number, idle: readonly boolean[]): Steadied {
  const rest = values.filter((_, k) => idle[k]);
  const level = rest.reduce((sum, value) => sum + value, 0) / Math.max(1, rest.length);
  const steady = Float64Array.from(values);
  const left = new Float64Array(values.length).fill(noise);
  for (let k = 0; k < values.length; k++) {
    const calm = idle[k] && Math.abs((values[k] as number) - level) <= 6 * noise;
    const mean = calm ? level : straightMean(values, k, HALF_WIDTH, noise);
    if (mean === null) continue;
    steady[k] = mean;
    left[k] = calm ? 0 : noise / Math.sqrt(2 * HALF_WIDTH + 1);
  }
  return { values: steady, noise: left };
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
