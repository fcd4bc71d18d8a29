/** The value of the largest size, with its sign: a discharge is the largest current there is. */
export function largest(values: Float64Array): number {
  return values.reduce((best, x) => (Math.abs(x) > Math.abs(best) ? x : best), 0);
}

export function differences(values: Float64Array): Float64Array {
  const result = new Float64Array(Math.max(0, values.length - 1));
  for (let k = 0; k < result.length; k++) {
    result[k] = (values[k + 1] as number) - (values[k] as number);
  }
  return result;
}

/** In standard deviations of the noise: larger second differences are edges, not noise. */
const CLIP = 3;
/**
 * In a trace of fewer readings a motor's slow start can be half of all: then the lower quarter says
 * where to clip. (Quartile and median of the size of a standard normal: 0.3186 and 0.6745.)
 */
const FEW = 40;
/** Share of a normal variance that lies within three standard deviations. */
const CLIPPED_VARIANCE = 0.9733;

/**
 * Noise of one reading, no less than that of rounding; and what rounding leaves in a mean of many:
 * all of count/√12 where nothing moves, next to nothing once noise of half a count spreads it (the
 * first harmonic of the rounding error falls by exp(−2π²σ²/count²); theory of quantisation, from
 * memory).
 */
export function precisionOf(
  values: Float64Array,
  count: number,
): { readonly noise: number; readonly rounding: number } {
  const own = noise(values, count);
  const rounding = count / Math.sqrt(12);
  if (count === 0) return { noise: own, rounding: 0 };
  const spread = Math.max(0, own ** 2 - rounding ** 2) / count ** 2;
  return {
    noise: Math.max(own, rounding),
    rounding: rounding * Math.exp(-2 * Math.PI ** 2 * spread),
  };
}

/**
 * Standard deviation of one reading from second differences (variance 6σ²): level and slope do not
 * enter, and edges are left out. Their median size alone would come in whole counts, off by a third
 * where the noise is a count or less; so it only says where to clip.
 */
function noise(values: Float64Array, count: number): number {
  const second = differences(differences(values));
  if (second.length === 0) return 0;
  const sizes = second.map(Math.abs).sort();
  const usual = second.length < FEW ? quarter(sizes) / 0.3186 : median(sizes) / 0.6745;
  let sigma = Math.max(usual, count);
  for (let n = 0; n < 3; n++) {
    const within = second.filter((d) => Math.abs(d) <= CLIP * sigma);
    const squares = within.reduce((sum, d) => sum + d * d, 0);
    sigma = Math.sqrt(squares / Math.max(1, within.length) / CLIPPED_VARIANCE);
    if (sigma === 0) return 0;
  }
  return sigma / Math.sqrt(6);
}

function quarter(sorted: Float64Array): number {
  return sorted[Math.floor((sorted.length - 1) / 4)] ?? 0;
}

/** No meter shows fewer digits than this: whole volts in a file are figures without noise. */
const FEWEST_DIGITS = 3;

/**
 * The value of one count, read off the values: the smallest change between neighbours, or the last
 * decimal place in use where that is finer. A trace without noise changes by its squeezes alone.
 */
export function smallestStep(values: Float64Array): number {
  const scale = Math.max(Math.abs(largest(values)), 1e-9);
  let least = Number.POSITIVE_INFINITY;
  for (const d of differences(values)) {
    const size = Math.abs(d);
    if (size > 1e-9 * scale && size < least) least = size;
  }
  return Math.min(least, lastPlace(values, scale), coarsestCount(scale));
}

/** The value of the last digit where a value of this size is shown with the fewest digits. */
export function coarsestCount(largest: number): number {
  return 10 ** (Math.floor(Math.log10(largest)) + 1 - FEWEST_DIGITS);
}

/** The coarsest power of ten that all values are whole multiples of, as far as doubles tell. */
function lastPlace(values: Float64Array, scale: number): number {
  for (let places = -3; places <= 9; places++) {
    const place = 10 ** -places;
    const whole = (x: number): boolean =>
      Math.abs(x - Math.round(x / place) * place) < 1e-9 * scale;
    if (values.every(whole)) return place;
  }
  return 0;
}

export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1
    ? (sorted[middle] as number)
    : ((sorted[middle - 1] as number) + (sorted[middle] as number)) / 2;
}
