/**
 * The current x that a relaxing branch carries, τ·dx/dt = i − x, as a filter of the current that
 * was read: x[k] = keep·x[k−1] + before·i[k−1] + now·i[k] + next·i[k+1] + jolt. Linear in the
 * current, so that noise in the current can be carried through it forwards and backwards.
 */
export interface HoldingBack {
  readonly keep: Float64Array;
  readonly before: Float64Array;
  readonly now: Float64Array;
  readonly next: Float64Array;
  readonly jolt: Float64Array;
}

export function restingFilter(n: number): HoldingBack {
  const filter = {
    keep: new Float64Array(n),
    before: new Float64Array(n),
    now: new Float64Array(n),
    next: new Float64Array(n),
    jolt: new Float64Array(n),
  };
  // A trace that begins under load has relaxed by nobody knows how much; at rest it is zero.
  filter.now[0] = 1;
  return filter;
}

/** The current in one interval of `dt` seconds runs straight, or bends with the time constant `bend_s`. */
export function passThrough(
  filter: HoldingBack,
  k: number,
  dt: number,
  tau: number,
  bend_s: number,
): void {
  const keep = Math.exp(-dt / tau);
  const gone = 1 - keep;
  const now = dt > 0 ? risen(dt, tau, bend_s, keep) : 0;
  filter.keep[k] = keep;
  filter.before[k] = gone - now;
  filter.now[k] = now;
}

/** The same as in the interval before: meters tick evenly. */
export function passAlike(filter: HoldingBack, k: number): void {
  filter.keep[k] = filter.keep[k - 1] as number;
  filter.before[k] = filter.before[k - 1] as number;
  filter.now[k] = filter.now[k - 1] as number;
}

/** How much of a change of current over the interval has reached the branch at its end. */
function risen(dt: number, tau: number, bend_s: number, keep: number): number {
  if (bend_s === Infinity) return 1 - ((1 - keep) * tau) / dt;
  const slowed = (keep * expIntegral(1 / tau - 1 / bend_s, dt)) / tau;
  return (1 - keep - slowed) / -Math.expm1(-dt / bend_s);
}

/** Where the current jumped within an interval. */
export interface Jump {
  /** Seconds from the jump to the end of its interval, which takes `dt` seconds. */
  readonly after_s: number;
  readonly dt: number;
  /** Length of the next interval; null where the current is not carried back along it. */
  readonly next_s: number | null;
  readonly bend_s: number;
  /** Charge of a peak that fell between the readings, A·s. */
  readonly hidden_As: number;
}

/**
 * The current stays until the jump, and after it is carried back from the reading along how it ran
 * on: in the next interval it fell from i[k] to i[k+1].
 */
export function jumpThrough(filter: HoldingBack, k: number, tau: number, jump: Jump): void {
  const { after_s, dt, next_s, bend_s, hidden_As } = jump;
  const keep = Math.exp(-dt / tau);
  const reached = -Math.expm1(-after_s / tau);
  const over = next_s === null ? 0 : overshoot(after_s, tau, next_s, bend_s);
  filter.keep[k] = keep;
  filter.before[k] = 1 - keep - reached;
  filter.now[k] = reached + over;
  filter.next[k] = -over;
  filter.jolt[k] = (hidden_As / tau) * (1 - reached);
}

function overshoot(after_s: number, tau: number, next_s: number, bend_s: number): number {
  const left = Math.exp(-after_s / tau);
  if (bend_s === Infinity) return (tau * (1 - left) - after_s * left) / next_s;
  const grown = expIntegral(1 / bend_s - 1 / tau, after_s) / tau;
  return (grown - (1 - left)) / -Math.expm1(-next_s / bend_s);
}

/** ∫ exp(rate·y) dy from 0 to `length`. */
function expIntegral(rate: number, length: number): number {
  const power = rate * length;
  return Math.abs(power) < 1e-9 ? length : (length * Math.expm1(power)) / power;
}

/** The branch's current at each reading. */
export function heldBack(filter: HoldingBack, i: Float64Array): Float64Array {
  const { keep, before, now, next, jolt } = filter;
  const x = new Float64Array(i.length);
  let state = 0;
  for (let k = 0; k < i.length; k++) {
    const earlier = k > 0 ? (before[k] as number) * (i[k - 1] as number) : 0;
    const later = k + 1 < i.length ? (next[k] as number) * (i[k + 1] as number) : 0;
    state = (keep[k] as number) * state + earlier + (now[k] as number) * (i[k] as number) + later;
    state += jolt[k] as number;
    x[k] = state;
  }
  return x;
}

/** The transpose of the filter: what a weighted sum of x weighs each current with, added to `into`. */
export function weighBack(
  filter: HoldingBack,
  weights: Float64Array,
  factor: number,
  into: Float64Array,
): void {
  const { keep, before, now, next } = filter;
  const n = weights.length;
  const add = (k: number, value: number): void => {
    if (k >= 0 && k < n) into[k] = (into[k] as number) + factor * value;
  };
  let state = 0;
  for (let k = n - 1; k >= 0; k--) {
    state = (weights[k] as number) + (k + 1 < n ? (keep[k + 1] as number) * state : 0);
    add(k - 1, (before[k] as number) * state);
    add(k, (now[k] as number) * state);
    add(k + 1, (next[k] as number) * state);
  }
}
