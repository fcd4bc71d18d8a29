import { Random } from "./random.js";

/** A pack as a source with two relaxing branches, and a motor that runs up, in continuous time. */
export interface PackModel {
  readonly emf_V: number;
  readonly r0_ohm: number;
  /** [ohm, seconds] of each relaxation. */
  readonly branches: readonly (readonly [number, number])[];
  /** Current at the edge, running current, time constant of running up. */
  readonly inrush_A: number;
  readonly run_A: number;
  readonly runUp_s: number;
  /** Share of the excess that dies away three times slower: a running up that is no exponential. */
  readonly slowShare?: number;
}

export interface Recording {
  readonly squeezes: readonly (readonly [number, number])[];
  readonly length_s: number;
  readonly rate: number;
  /** Standard deviations of one reading, and the value of one count. */
  readonly noise_V: number;
  readonly noise_A: number;
  readonly count_V: number;
  readonly count_A: number;
  readonly seed: number;
  /** Where in its interval the first reading falls, 0 to 1. */
  readonly phase?: number;
}

/** An invented 5-cell pack in fair condition. */
export const FAIR_PACK: PackModel = {
  emf_V: 19.8,
  r0_ohm: 0.06,
  branches: [
    [0.025, 0.25],
    [0.03, 2.5],
  ],
  inrush_A: 60,
  run_A: 15,
  runUp_s: 0.08,
};

export interface Simulated {
  readonly time_s: number[];
  readonly voltage_V: number[];
  readonly current_A: number[];
}

/**
 * Readings of the pack. Between events the current is run + (inrush − run)·exp(−t/runUp) and each
 * branch has its closed solution, so no step size enters.
 */
export function simulatePack(pack: PackModel, recording: Recording): Simulated {
  const random = new Random(recording.seed);
  const { rate, length_s } = recording;
  const phase = recording.phase ?? random.next();
  const result: Simulated = { time_s: [], voltage_V: [], current_A: [] };
  const states = pack.branches.map(() => 0);
  let now = 0;
  const advance = (to: number, on_s: number | null): void => {
    const dt = to - now;
    pack.branches.forEach(([, tau], j) => {
      states[j] = on_s === null ? states[j]! * Math.exp(-dt / tau) : driven(j, tau, dt, on_s);
    });
    now = to;
  };
  const driven = (j: number, tau: number, dt: number, on_s: number): number => {
    const keep = Math.exp(-dt / tau);
    // τ·dx/dt = run + Σ excess·exp(−t/T) − x
    return excesses(pack).reduce(
      (x, [excess_A, runUp_s]) => {
        const gain = (excess_A * Math.exp(-(now - on_s) / runUp_s)) / (1 - tau / runUp_s);
        return x + gain * (Math.exp(-dt / runUp_s) - keep);
      },
      pack.run_A + (states[j]! - pack.run_A) * keep,
    );
  };
  const events = recording.squeezes.flatMap(([on, off]) => [on, off]);
  let next = 0;
  let on_s: number | null = null;
  for (let k = 0; ; k++) {
    const time = (k + phase) / rate;
    if (time >= length_s) return result;
    while (next < events.length && events[next]! <= time) {
      advance(events[next]!, on_s);
      on_s = next % 2 === 0 ? events[next]! : null;
      next++;
    }
    advance(time, on_s);
    const i = on_s === null ? 0 : currentAt(pack, time - on_s);
    const drop = pack.branches.reduce((sum, [r], j) => sum + r * states[j]!, 0);
    const v = pack.emf_V - pack.r0_ohm * i - drop;
    result.time_s.push(Math.round(time * 1e6) / 1e6);
    result.voltage_V.push(rounded(v + recording.noise_V * random.normal(), recording.count_V));
    result.current_A.push(rounded(i + recording.noise_A * random.normal(), recording.count_A));
  }
}

function excesses({ inrush_A, run_A, runUp_s, slowShare = 0 }: PackModel): [number, number][] {
  const excess_A = inrush_A - run_A;
  return [
    [excess_A * (1 - slowShare), runUp_s],
    [excess_A * slowShare, 3 * runUp_s],
  ];
}

function currentAt(pack: PackModel, since_s: number): number {
  const decay = (sum: number, [excess_A, runUp_s]: [number, number]): number =>
    sum + excess_A * Math.exp(-since_s / runUp_s);
  return excesses(pack).reduce(decay, pack.run_A);
}

function rounded(value: number, count: number): number {
  return count > 0 ? Number((Math.round(value / count) * count).toFixed(9)) : value;
}
