/** A recorded trace of one pack or tool while the trigger is worked. */
export interface SagTrace {
  /** Seconds, never falling. */
  readonly time_s: ArrayLike<number>;
  readonly voltage_V: ArrayLike<number>;
  readonly current_A?: ArrayLike<number> | undefined;
  /** The value of one count of the voltmeter; where absent it is read off the values. */
  readonly resolution_V?: number | undefined;
}

/** A trace made ready: voltage positive, discharge current positive, noise and pace known. */
export interface Prepared {
  readonly t: Float64Array;
  readonly v: Float64Array;
  readonly i: Float64Array | null;
  readonly n: number;
  readonly reversed: boolean;
  readonly currentReversed: boolean;
  /** Median time between readings. */
  readonly interval_s: number;
  /** Standard deviation of one reading about its neighbours; no less than the resolution's. */
  readonly noise_V: number;
  readonly noise_A: number;
  readonly resolution_V: number;
}

export function prepare(trace: SagTrace): Prepared {
  const t = Float64Array.from(trace.time_s);
  const v = Float64Array.from(trace.voltage_V);
  const reversed = median(v) < 0;
  if (reversed) v.forEach((x, k) => (v[k] = -x));
  const i = trace.current_A === undefined ? null : Float64Array.from(trace.current_A);
  const currentReversed = i !== null && largest(i) < 0;
  if (i !== null && currentReversed) i.forEach((x, k) => (i[k] = -x));
  const resolution_V = trace.resolution_V ?? smallestStep(v);
  return {
    t,
    v,
    i,
    n: t.length,
    reversed,
    currentReversed,
    interval_s: t.length > 1 ? median(differences(t)) : 0,
    noise_V: noiseOf(v, resolution_V),
    noise_A: i === null ? 0 : noiseOf(i, smallestStep(i)),
    resolution_V,
  };
}

/** The value of the largest size, with its sign: a discharge is the largest current there is. */
function largest(values: Float64Array): number {
  return values.reduce((best, x) => (Math.abs(x) > Math.abs(best) ? x : best), 0);
}

function differences(values: Float64Array): Float64Array {
  const result = new Float64Array(Math.max(0, values.length - 1));
  for (let k = 0; k < result.length; k++) {
    result[k] = (values[k + 1] as number) - (values[k] as number);
  }
  return result;
}

/** In standard deviations of the noise: larger second differences are edges, not noise. */
const CLIP = 3;
/** Share of a normal variance that lies within three standard deviations. */
const CLIPPED_VARIANCE = 0.9733;

/**
 * Standard deviation of one reading from second differences (variance 6σ²): level and slope do not
 * enter, and edges are left out. Their median size alone would come in whole counts, off by a third
 * where the noise is a count or less; so it only says where to clip.
 */
function noiseOf(values: Float64Array, count: number): number {
  return Math.max(noise(values, count), count / Math.sqrt(12));
}

function noise(values: Float64Array, count: number): number {
  const second = differences(differences(values));
  if (second.length === 0) return 0;
  let sigma = Math.max(median(second.map(Math.abs)) / 0.6745, count);
  for (let n = 0; n < 3; n++) {
    const within = second.filter((d) => Math.abs(d) <= CLIP * sigma);
    const squares = within.reduce((sum, d) => sum + d * d, 0);
    sigma = Math.sqrt(squares / Math.max(1, within.length) / CLIPPED_VARIANCE);
    if (sigma === 0) return 0;
  }
  return sigma / Math.sqrt(6);
}

/**
 * The value of one count, read off the values: the smallest change between neighbours, or the last
 * decimal place in use where that is finer. A trace without noise changes by its squeezes alone.
 */
function smallestStep(values: Float64Array): number {
  const scale = Math.max(Math.abs(largest(values)), 1e-9);
  let least = Number.POSITIVE_INFINITY;
  for (const d of differences(values)) {
    const size = Math.abs(d);
    if (size > 1e-9 * scale && size < least) least = size;
  }
  return Number.isFinite(least) ? Math.min(least, lastPlace(values, scale)) : 0;
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

/** Mean of values[from..to). */
export function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let k = from; k < to; k++) sum += values[k] as number;
  return sum / (to - from);
}
