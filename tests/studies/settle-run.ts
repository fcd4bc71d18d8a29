import { ContactTracker } from "../../workbench/measurement/contact.js";
import type { SteadyOptions } from "../../workbench/measurement/steady.js";
import type { Scene } from "./scenes.js";

/** What a rule made of a scene. */
export interface Hold {
  readonly time_s: number;
  /** In counts of the final range. */
  readonly value: number;
}

export type Rule = (scene: Scene) => Hold | null;

/** The product's own rule. */
export function trackerRule(options: SteadyOptions): Rule {
  return (scene) => {
    const tracker = new ContactTracker(options);
    // 20 V or 20 kΩ full scale, so that thresholds told in volts mean what they say.
    const count = (scene.quantity === "voltage" ? 20 : 20_000) / scene.fullScale;
    for (let k = 0; k < scene.shown.length; k++) {
      const resolution = count * scene.coarse[k]!;
      const shown = scene.shown[k]!;
      const over = Number.isNaN(shown);
      tracker.push({
        time_s: scene.time_s[k]!,
        channel: "a",
        quantity: scene.quantity,
        coupling: null,
        value: over ? null : shown * resolution,
        overload: over,
        unit: scene.quantity === "voltage" ? "V" : "Ω",
        resolution,
        flags: [],
      });
      if (tracker.rest === null) continue;
      // A hold in a coarse range is right to that range's count.
      return { time_s: scene.time_s[k]!, value: tracker.rest.mean / count };
    }
    return null;
  };
}

/** The naive rule: n readings in a row that show the same, give or take `counts`. */
export function naiveRule(n: number, counts: number): Rule {
  return ({ shown, coarse, time_s, quantity, fullScale }) => {
    const live = quantity === "voltage" ? (0.05 * fullScale) / 20 : -1;
    let run = 0;
    let low = 0;
    let high = 0;
    for (let k = 0; k < shown.length; k++) {
      const x = shown[k]!;
      if (Number.isNaN(x) || Math.abs(x * coarse[k]!) <= live) {
        run = 0;
        continue;
      }
      const fits = Math.max(high, x) - Math.min(low, x) <= counts && coarse[k] === coarse[k - 1];
      run = run > 0 && fits ? run + 1 : 1;
      low = run === 1 ? x : Math.min(low, x);
      high = run === 1 ? x : Math.max(high, x);
      if (run >= n) return { time_s: time_s[k]!, value: x * coarse[k]! };
    }
    return null;
  };
}

export type Judged = "right" | "false" | "missed" | "rightly-none";

export interface Score {
  readonly judged: Judged;
  /** From truly settled to held, seconds; null where not held. */
  readonly delay_s: number | null;
  /** |held − truth| in counts of the range it was held in. */
  readonly error: number | null;
}

/** Windows after settling by which a hold must have come. */
const DEADLINE_WINDOWS = 4;

/**
 * False: held where nothing ever settled, or held before settling at a value more than a count
 * off. Missed: settled, and not held four windows later.
 */
export function score(scene: Scene, hold: Hold | null, window_s: number): Score {
  const { settled_s, truth } = scene;
  if (settled_s === null) {
    return { judged: hold === null ? "rightly-none" : "false", delay_s: null, error: null };
  }
  if (hold === null || hold.time_s - settled_s > DEADLINE_WINDOWS * window_s) {
    return { judged: "missed", delay_s: null, error: null };
  }
  const k = scene.time_s.findIndex((t) => t >= hold.time_s);
  const error = Math.abs(hold.value - truth) / scene.coarse[k]!;
  const early = hold.time_s < settled_s && error > 1;
  const delay_s = hold.time_s - settled_s;
  return { judged: early ? "false" : "right", delay_s, error };
}
