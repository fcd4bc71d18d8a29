/** Readings that arrived together, and when each was really sampled, s. */
export interface Delivery {
  readonly arrival_s: number;
  readonly sampled_s: readonly number[];
}

export type Random = () => number;

/** Mulberry32, a 32-bit generator in the public domain: the same numbers on every machine. */
export function seeded(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/**
 * A meter that ticks evenly and a computer that comes late: woken by the first reading that
 * waits, it takes, `lateness()` later, all that is there by then. That is how a serial port under
 * a busy system behaves, and for a slow meter it is one reading at a time.
 */
export function deliveries(
  rate_Hz: number,
  count: number,
  random: Random,
  lateness: (random: Random) => number,
): Delivery[] {
  const phase_s = 1 + random() / rate_Hz;
  const at = (n: number): number => phase_s + n / rate_Hz;
  const all: Delivery[] = [];
  for (let n = 0; n < count;) {
    const arrival_s = at(n) + lateness(random);
    const sampled_s: number[] = [];
    for (; n < count && at(n) <= arrival_s; n += 1) sampled_s.push(at(n));
    all.push({ arrival_s, sampled_s });
  }
  return all;
}

/** Up to 20 ms, any of it equally likely. */
export const uniform = (random: Random): number => 0.02 * random();
/** Mostly little, seldom much, never over 20 ms. */
export const mostlyLittle = (random: Random): number =>
  Math.min(0.02, -0.005 * Math.log(1 - random()));
/** Around 10 ms, nearly never none: the hard case for a line under the arrivals. */
export const around10ms = (random: Random): number => {
  const sum = random() + random() + random() + random();
  return Math.min(0.02, Math.max(0, 0.01 + 0.0068 * (sum - 2)));
};
