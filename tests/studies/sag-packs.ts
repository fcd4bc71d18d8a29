import { coverageFactor } from "../../workbench/measurement/distributions.js";
import { analyseSag } from "../../workbench/measurement/sag/analyse.js";
import type { Detail } from "../../workbench/measurement/watch.js";
import { simulatePack } from "../workbench/measurement/pack.js";
import type { PackModel } from "../workbench/measurement/pack.js";
import { Random } from "../workbench/measurement/random.js";

/** An invented pack with a motor. */
function anyPack(random: Random): PackModel {
  const r0_ohm = random.scale(0.03, 0.25);
  const emf_V = random.between(14, 19.9);
  // No motor pulls a pack below half: its protection would open.
  const run_A = Math.min(random.between(5, 25), (0.13 * emf_V) / r0_ohm);
  return {
    emf_V,
    r0_ohm,
    branches: [
      [r0_ohm * random.between(0.15, 0.6), random.scale(0.08, 0.4)],
      [r0_ohm * random.between(0.15, 0.6), random.scale(1.2, 4)],
    ],
    inrush_A: run_A * random.between(1.5, 3.5),
    run_A,
    runUp_s: random.between(0.04, 0.15),
  };
}

export interface Counted {
  told: number;
  refused: number;
  within: number;
  covered: number;
  errors: number[];
  /** Half-width of the interval over the truth. */
  halves: number[];
}

export const none = (): Counted => ({
  told: 0,
  refused: 0,
  within: 0,
  covered: 0,
  errors: [],
  halves: [],
});

/** For one figure of one run: what was told, against the truth. */
function count(into: Counted, found: Detail | undefined, truth: number, within: number): void {
  if (found?.value == null || found.u === undefined) {
    into.refused += 1;
    return;
  }
  const error = Math.abs(found.value - truth);
  const half = coverageFactor(0.95, Infinity) * found.u;
  into.told += 1;
  into.errors.push(error / truth);
  into.halves.push(half / truth);
  if (error <= within * truth) into.within += 1;
  if (error <= half) into.covered += 1;
}

/** What differs from the usual invented pack and recording. */
export interface Variant {
  readonly label: string;
  readonly rate: number;
  readonly runs: number;
  readonly pack?: (pack: PackModel) => PackModel;
  /** The squeeze and the release fall on a reading each, as nearly as can be. */
  readonly onReadings?: boolean;
}

export interface Found {
  readonly r: Counted;
  readonly tau1: Counted;
  readonly tau2: Counted;
  /** By noise of the current through the resistance, against that of the voltage. */
  readonly byNoise: readonly { readonly label: string; readonly r: Counted }[];
}

const NOISES = [
  ["current's noise below 0.5 of the voltage's", 0, 0.5],
  ["0.5 to 1.5 of it", 0.5, 1.5],
  ["above 1.5 of it", 1.5, Infinity],
] as const;

export function study({ rate, runs, pack: change, onReadings }: Variant): Found {
  const byNoise = NOISES.map(([label]) => ({ label, r: none() }));
  const result = { r: none(), tau1: none(), tau2: none(), byNoise };
  for (let seed = 0; seed < runs; seed++) {
    const random = new Random(seed * 7_919 + rate);
    const usual = anyPack(random);
    const pack = change?.(usual) ?? usual;
    const place = (s: number): number => (onReadings ? Math.round(s * rate) / rate : s);
    const on = place(random.between(0.8, 1.5));
    const off = place(on + random.between(1.2, 2.5));
    const noise = { noise_V: random.scale(0.0008, 0.004), noise_A: random.scale(0.01, 0.05) };
    const trace = simulatePack(pack, {
      squeezes: [[on, off]],
      length_s: off + random.between(6, 12),
      rate,
      ...noise,
      count_V: 0.001,
      count_A: 0.01,
      seed: seed + 1,
      ...(onReadings ? { phase: 1e-4 } : {}),
    });
    const { figures } = analyseSag(trace);
    const ratio = (pack.r0_ohm * noise.noise_A) / noise.noise_V;
    const group = NOISES.findIndex(([, from, to]) => ratio >= from && ratio < to);
    for (const r of [result.r, byNoise[group]!.r]) {
      count(r, figures["internalResistance"], pack.r0_ohm, 0.03);
    }
    countRelaxations(result, figures, pack);
  }
  return result;
}

/** Told constants are matched in order; a single told one may be either, and counts as nearest. */
function countRelaxations(
  { tau1, tau2 }: Found,
  figures: Readonly<Record<string, Detail>>,
  pack: PackModel,
): void {
  const [[, fast], [, slow]] = pack.branches as [[number, number], [number, number]];
  const first = figures["relaxation1"];
  const swapped =
    first?.value != null &&
    Math.abs(Math.log(first.value / slow)) < Math.abs(Math.log(first.value / fast));
  count(tau1, swapped ? undefined : first, fast, 0.1);
  count(tau2, swapped ? first : figures["relaxation2"], slow, 0.1);
}
