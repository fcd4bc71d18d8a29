import type { Random } from "../workbench/measurement/random.js";

/**
 * Invented sequences of what a meter shows while a hand brings probes to a joint, with the truth
 * beside them. In counts of the final range; the models are stated in docs/study-settle.md and
 * share nothing with the practice bench.
 */
export interface Scene {
  readonly kind: SceneKind;
  readonly rate: number;
  readonly fullScale: number;
  readonly time_s: Float64Array;
  /** Displayed counts in the range of `coarse`; NaN is overload. */
  readonly shown: Float64Array;
  /** Value of one shown count in counts of the final range: 1, or 10, 100 in a coarser range. */
  readonly coarse: Float64Array;
  readonly quantity: "voltage" | "resistance";
  /** From when on the meter shows the truth within a count; null: never in this sequence. */
  readonly settled_s: number | null;
  readonly truth: number;
}

export const KINDS = ["ghost", "touch", "rub", "creep", "range"] as const;
export type SceneKind = (typeof KINDS)[number];

export interface Meter {
  readonly rate: number;
  readonly fullScale: number;
}

/** White noise of constant density: five millionths of full scale at 1,000 readings a second. */
export function noiseOf({ rate, fullScale }: Meter): number {
  return 0.15 + 5e-6 * fullScale * Math.sqrt(rate / 1000);
}

/** A signal in counts at a time; NaN is overload. */
type Signal = (time_s: number) => number;

interface Draft {
  readonly length_s: number;
  readonly signal: Signal;
  readonly quantity: Scene["quantity"];
  readonly settled_s: number | null;
  readonly truth: number;
  readonly coarse?: (time_s: number) => number;
}

export function makeScene(kind: SceneKind, meter: Meter, random: Random): Scene {
  return sample(kind, DRAFTS[kind](meter, random), meter, random);
}

/** A straight creep of so many counts a second after contact, for ten seconds. */
export function makeCreep(countsPerSecond: number, meter: Meter, random: Random): Scene {
  return sample("creep", straightCreep(countsPerSecond, meter, random), meter, random);
}

function sample(kind: SceneKind, draft: Draft, meter: Meter, random: Random): Scene {
  const n = Math.floor(draft.length_s * meter.rate);
  const phase = random.next();
  const aperture = random.between(0.3, 0.95) / meter.rate;
  const noise = noiseOf(meter);
  const time_s = new Float64Array(n);
  const shown = new Float64Array(n);
  const coarse = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const t = (k + phase) / meter.rate;
    const scale = draft.coarse?.(t) ?? 1;
    const mean =
      (draft.signal(t - aperture) + draft.signal(t - aperture / 2) + draft.signal(t)) / 3;
    const x = mean + noise * random.normal();
    time_s[k] = t;
    coarse[k] = scale;
    shown[k] = Math.abs(x) > meter.fullScale * scale ? Number.NaN : Math.round(x / scale);
  }
  const { quantity, settled_s, truth } = draft;
  return { kind, ...meter, time_s, shown, coarse, quantity, settled_s, truth };
}

const DRAFTS: Record<SceneKind, (meter: Meter, random: Random) => Draft> = {
  ghost: (meter, random) => ({
    length_s: 12,
    signal: ghostVolts(meter, random, 12),
    quantity: "voltage",
    settled_s: null,
    truth: Number.NaN,
  }),
  touch,
  rub,
  creep,
  range,
};

/** Volts in counts where the range is 20 V. */
const volt = ({ fullScale }: Meter): number => fullScale / 20;

/**
 * Open probes on ten megohms: an offset that wanders (Ornstein–Uhlenbeck, 0.1 to 1 V, correlated
 * over 0.1 to 2 s) and hum that beats with the meter's sampling.
 */
function ghostVolts(meter: Meter, random: Random, length_s: number): Signal {
  const size = random.scale(0.1, 1) * volt(meter);
  const wander = ornsteinUhlenbeck(random, size, random.scale(0.1, 2), length_s);
  const hum = size * random.between(0, 1);
  const beat = random.between(0.2, 5);
  const turn = random.between(0, 6.28);
  const offset = random.between(-2, 2) * size;
  return (t) => offset + wander(t) + hum * Math.sin(6.283 * beat * t + turn);
}

/** Exact at grid points a twentieth of the correlation time apart, straight between. */
function ornsteinUhlenbeck(
  random: Random,
  size: number,
  correlation_s: number,
  length_s: number,
): Signal {
  const step = correlation_s / 20;
  const keep = Math.exp(-step / correlation_s);
  const kick = size * Math.sqrt(1 - keep * keep);
  const points = new Float64Array(Math.ceil((length_s + 2) / step) + 2);
  points[0] = size * random.normal();
  for (let k = 1; k < points.length; k++) {
    points[k] = keep * points[k - 1]! + kick * random.normal();
  }
  return (t) => {
    const at = Math.max(0, (t + 1) / step);
    const k = Math.floor(at);
    return points[k]! + (at - k) * (points[k + 1]! - points[k]!);
  };
}

/** Ghost volts, then contact that bounces for up to 0.3 s and stays. */
function touch(meter: Meter, random: Random): Draft {
  const ghost = ghostVolts(meter, random, 6);
  const on_s = random.between(1, 3);
  const bounce_s = random.between(0, 0.3);
  const gaps = dropouts(random, on_s, on_s + bounce_s, 20, 0.03);
  const truth = random.between(0.05, 0.95) * meter.fullScale * random.pick([1, -1]);
  return {
    length_s: 8,
    signal: (t) => (t < on_s || gaps(t) ? ghost(Math.min(t, 5)) : truth),
    quantity: "voltage",
    settled_s: on_s + bounce_s,
    truth,
  };
}

/** Whether contact is broken at a time: gaps at so many a second, of so many seconds on average. */
function dropouts(
  random: Random,
  from_s: number,
  to_s: number,
  perSecond: number,
  mean_s: number,
): (time_s: number) => boolean {
  const gaps: [number, number][] = [];
  let t = from_s;
  for (;;) {
    t -= Math.log(1 - random.next()) / perSecond;
    const end = t - Math.log(1 - random.next()) * mean_s;
    if (t >= to_s) break;
    gaps.push([t, Math.min(end, to_s)]);
    t = end;
  }
  return (time_s) => gaps.some(([start, end]) => time_s >= start && time_s < end);
}

/** A probe that rubs: extra resistance that jumps about, and breaks; in half the cases it rests. */
function rub(meter: Meter, random: Random): Draft {
  const onOhms = random.next() < 0.5;
  const truth = random.between(0.05, 0.6) * meter.fullScale;
  const stops = random.next() < 0.5;
  const stop_s = stops ? random.between(2, 6) : 12;
  const size = Math.max(12, random.scale(0.01, 0.3) * (onOhms ? truth : meter.fullScale));
  const correlation_s = random.scale(0.02, 0.3);
  const wander = ornsteinUhlenbeck(random, size, correlation_s, stop_s);
  const gaps = dropouts(random, 0, stop_s, random.between(0.5, 5), random.scale(0.01, 0.2));
  const open = onOhms ? 1e9 * meter.fullScale : 0;
  const signal: Signal = (t) => {
    if (t >= stop_s) return truth;
    if (gaps(t)) return open;
    return onOhms ? truth + Math.abs(wander(t)) : truth - Math.min(truth, Math.abs(wander(t)));
  };
  return {
    length_s: stops ? stop_s + 5 : 12,
    signal,
    quantity: onOhms ? "resistance" : "voltage",
    settled_s: stops ? stop_s : null,
    truth,
  };
}

/**
 * Ohms creeping up while a capacitor charges: R·(1 − exp(−t/τ)), τ from 0.05 to 3 s; or, in half
 * the cases, a straight rise of 3 counts to a fiftieth of the range a second that never ends.
 */
function creep(meter: Meter, random: Random): Draft {
  if (random.next() < 0.5) {
    return straightCreep(random.scale(3, meter.fullScale / 50), meter, random);
  }
  const on_s = random.between(0.5, 2);
  const truth = random.between(0.05, 0.95) * meter.fullScale;
  const tau = random.scale(0.05, 3);
  const settled_s = on_s + tau * Math.log(truth);
  return {
    length_s: settled_s + 6 + 4 * tau,
    signal: (t) => (t < on_s ? overRange(meter) : truth * (1 - Math.exp(-(t - on_s) / tau))),
    quantity: "resistance",
    settled_s,
    truth,
  };
}

const overRange = ({ fullScale }: Meter): number => 1e9 * fullScale;

function straightCreep(countsPerSecond: number, meter: Meter, random: Random): Draft {
  const on_s = random.between(0.5, 2);
  const from = random.between(0.02, 0.3) * meter.fullScale;
  const signal: Signal = (t) => (t < on_s ? overRange(meter) : from + countsPerSecond * (t - on_s));
  return { length_s: 12, signal, quantity: "resistance", settled_s: null, truth: Number.NaN };
}

/** The meter finds its range: overload or coarser ranges for a while, once or several times. */
function range(meter: Meter, random: Random): Draft {
  const truth = random.between(0.12, 0.95) * meter.fullScale;
  const on_s = random.between(0.5, 1.5);
  const changes: { from: number; to: number; coarse: number }[] = [];
  let t = on_s;
  for (let k = Math.floor(random.between(1, 4)); k > 0; k--) {
    const end = t + random.between(0.1, 1.2);
    changes.push({ from: t, to: end, coarse: random.pick([10, 100, Number.NaN]) });
    t = end;
  }
  const at = (time_s: number): number =>
    changes.find(({ from, to }) => time_s >= from && time_s < to)?.coarse ?? 1;
  const open = 1e9 * meter.fullScale;
  return {
    length_s: t + 5,
    signal: (time_s) => (time_s < on_s || Number.isNaN(at(time_s)) ? open : truth),
    coarse: (time_s) => at(time_s) || 1,
    quantity: "resistance",
    settled_s: t,
    truth,
  };
}
