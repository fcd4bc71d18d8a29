import { Random } from "../workbench/measurement/random.js";
import { KINDS, makeCreep, makeScene } from "./scenes.js";
import type { Scene, SceneKind } from "./scenes.js";
import { score, trackerRule } from "./settle-run.js";
import type { Rule } from "./settle-run.js";

export const RATES = [3, 10, 100, 1000] as const;
export const FULL_SCALES = [2_000, 6_000, 60_000, 200_000, 1_000_000] as const;

export interface Tally {
  sequences: number;
  settled: number;
  falseHolds: number;
  missed: number;
  offByMore: number;
  delays_s: number[];
  errors: number[];
}

const emptyTally = (): Tally => ({
  sequences: 0,
  settled: 0,
  falseHolds: 0,
  missed: 0,
  offByMore: 0,
  delays_s: [],
  errors: [],
});

/** `perCell` scenes of every kind, rate and scale; the same for every rule. */
export function tally(
  rule: Rule,
  window_s: number,
  perCell: number,
  only: { kind?: SceneKind; rate?: number } = {},
): Tally {
  const result = emptyTally();
  for (const scene of scenes(perCell, only)) add(result, scene, rule, window_s);
  return result;
}

export function* scenes(
  perCell: number,
  only: { kind?: SceneKind; rate?: number },
): Generator<Scene> {
  for (const [a, kind] of KINDS.entries()) {
    if (only.kind !== undefined && kind !== only.kind) continue;
    for (const [b, rate] of RATES.entries()) {
      if (only.rate !== undefined && rate !== only.rate) continue;
      for (const [c, fullScale] of FULL_SCALES.entries()) {
        for (let k = 0; k < perCell; k++) {
          const seed = (k * 5 + a) * 4_000_037 + b * 104_729 + c * 7_919;
          yield makeScene(kind, { rate, fullScale }, new Random(seed));
        }
      }
    }
  }
}

function add(result: Tally, scene: Scene, rule: Rule, window_s: number): void {
  const { judged, delay_s, error } = score(scene, rule(scene), window_s);
  result.sequences += 1;
  if (scene.settled_s !== null) result.settled += 1;
  if (judged === "false") result.falseHolds += 1;
  if (judged === "missed") result.missed += 1;
  if (judged !== "right" || delay_s === null || error === null) return;
  result.delays_s.push(delay_s);
  result.errors.push(error);
  if (error > 1) result.offByMore += 1;
}

export function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}

/** Share of straight creeps of one speed that are held within 10 s. */
export function creepHeld(countsPerSecond: number, rate: number, n: number): number {
  const rule = trackerRule({ window_s: 1, counts: 3 });
  let held = 0;
  for (let k = 0; k < n; k++) {
    const meter = { rate, fullScale: FULL_SCALES[k % FULL_SCALES.length]! };
    const random = new Random(k * 31 + rate + Math.round(countsPerSecond * 1000));
    if (rule(makeCreep(countsPerSecond, meter, random)) !== null) held += 1;
  }
  return held / n;
}
