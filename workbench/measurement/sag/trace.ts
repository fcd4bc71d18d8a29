import { differences, largest, median, precisionOf, smallestStep } from "./precision.js";

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
  /** Sum of v[k] − v[0] over the first so many readings: a mean costs the same however long. */
  readonly sums: Float64Array;
  readonly reversed: boolean;
  readonly currentReversed: boolean;
  /** Median time between readings. */
  readonly interval_s: number;
  /** Standard deviation of one reading about its neighbours; no less than the resolution's. */
  readonly noise_V: number;
  readonly noise_A: number;
  readonly resolution_V: number;
  /** Standard uncertainty of a level by rounding, as far as noise does not spread it over counts. */
  readonly rounding_V: number;
  readonly rounding_A: number;
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
  const precise_V = precisionOf(v, resolution_V);
  const precise_A = i === null ? { noise: 0, rounding: 0 } : precisionOf(i, smallestStep(i));
  return {
    t,
    v,
    i,
    n: t.length,
    sums: runningSums(v),
    reversed,
    currentReversed,
    interval_s: t.length > 1 ? median(differences(t)) : 0,
    noise_V: precise_V.noise,
    noise_A: precise_A.noise,
    resolution_V,
    rounding_V: precise_V.rounding,
    rounding_A: precise_A.rounding,
  };
}

function runningSums(v: Float64Array): Float64Array {
  const sums = new Float64Array(v.length + 1);
  v.forEach((x, k) => (sums[k + 1] = (sums[k] as number) + x - (v[0] as number)));
  return sums;
}

/** Mean voltage over [from..to). */
export function meanVoltage({ v, sums }: Prepared, from: number, to: number): number {
  return (v[0] as number) + ((sums[to] as number) - (sums[from] as number)) / (to - from);
}

/** Mean of values[from..to). */
export function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let k = from; k < to; k++) sum += values[k] as number;
  return sum / (to - from);
}
