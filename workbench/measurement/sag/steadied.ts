/** Readings on either side that may be averaged with one, widest first. */
const HALF_WIDTHS = [12, 6, 3, 1] as const;
/** A stretch is straight where its scatter is no more than this times the noise. */
const STRAIGHT = 1.3;

/**
 * A current with its noise taken out as far as can be known: at no load it is one constant, and
 * elsewhere the mean of neighbours that lie on a straight line within the noise. Noise in a current
 * that a voltage is fitted to makes every resistance come out too small (errors in variables), and
 * summed up it wanders. Where the current truly moves, each reading stands for itself.
 */
export function steadied(
  values: Float64Array,
  noise: number,
  idle: readonly boolean[],
): Float64Array {
  const rest = values.filter((_, k) => idle[k]);
  const level = rest.reduce((sum, value) => sum + value, 0) / Math.max(1, rest.length);
  return values.map((value, k) => {
    if (idle[k] && Math.abs(value - level) <= 6 * noise) return level;
    for (const half of HALF_WIDTHS) {
      const mean = straightMean(values, k, half, noise);
      if (mean !== null) return mean;
    }
    return value;
  });
}

function straightMean(values: Float64Array, k: number, half: number, noise: number): number | null {
  if (k < half || k + half >= values.length) return null;
  const n = 2 * half + 1;
  let sum = 0;
  let moment = 0;
  for (let m = -half; m <= half; m++) {
    sum += values[k + m] as number;
    moment += m * (values[k + m] as number);
  }
  const mean = sum / n;
  const slope = (3 * moment) / (half * (half + 1) * n);
  let squares = 0;
  for (let m = -half; m <= half; m++) {
    const off = (values[k + m] as number) - mean - slope * m;
    if (Math.abs(off) > 4.5 * noise) return null;
    squares += off * off;
  }
  return squares <= STRAIGHT * STRAIGHT * noise * noise * Math.max(1, n - 2) ? mean : null;
}
