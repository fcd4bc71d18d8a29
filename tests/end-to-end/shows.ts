import type { PracticeRun } from "../workbench/plan/practice-run.js";

/** What each fault must show in the bundled plan of its kind: the tool's own steps only. */
type Shows = Readonly<Record<string, readonly string[]>>;

/** The supply's faults, in every cordless tool. */
const SUPPLY: Shows = {
  "charger-dead": ["charger-output", "charger-lamp"],
  "charger-fuse": ["charger-lamp"],
  "pack-dead": ["charger-lamp", "pack-open", "pack-rest"],
  "pack-asleep": ["charger-lamp", "pack-open", "pack-rest"],
  "pack-discharged": ["pack-open"],
  "pack-weak-cell": ["pack-sag"],
  "terminal-corroded": ["terminals-load"],
  "terminal-bent": ["terminals-rest"],
};

/** From the trigger to the gears, where the motor has brushes. */
const BRUSHED: Shows = {
  "switch-minus-open": ["motor-turns", "switch-out"],
  "lead-red-broken": ["motor-turns", "motor-volts", "lead-red"],
  "lead-black-broken": ["motor-turns", "motor-volts", "lead-black"],
  "lead-black-frayed": ["motor-volts", "lead-black"],
  "brush-worn": ["motor-sweep", "brush-length"],
  "brush-stuck": ["motor-turns", "motor-sweep", "brush-length", "motor-turns-fed"],
  "motor-open": ["motor-turns", "motor-sweep", "motor-turns-fed"],
  "motor-burnt-bar": ["motor-turns", "motor-sweep", "motor-turns-fed"],
  "motor-shorted-turns": ["pack-sag", "motor-turns", "motor-fed", "motor-turns-fed"],
  "motor-seized": ["chuck-turn", "motor-fed", "motor-turns-fed", "motor-shaft"],
  "gear-jam": ["chuck-turn", "motor-fed", "motor-turns-fed", "gears-input"],
  "gear-slip": ["chuck-turn", "motor-turns-fed", "gears-input"],
};

export const SHOWS: Readonly<Record<string, Shows>> = {
  "cordless-brushed": {
    ...SUPPLY,
    ...BRUSHED,
    "switch-minus-open": ["switch-out", "switch-minus"],
    "switch-open": ["motor-turns", "switch-out", "switch-works"],
    "switch-burnt": ["switch-out", "switch-works"],
    "switch-stuck": ["motor-turns", "switch-works"],
  },
  "cordless-brushed-electronic": {
    ...SUPPLY,
    ...BRUSHED,
    "switch-dead": ["motor-turns", "switch-out"],
    "switch-shorted": ["motor-turns", "trigger-input"],
    "switch-weak": ["switch-out"],
  },
  "cordless-brushless": {
    ...SUPPLY,
    "controller-dead": ["trigger-supply"],
    "controller-joint": ["controller-supply"],
    "controller-silent": ["motor-runs", "phase-driven"],
    "half-bridge-w-dead": ["motor-runs", "running-w"],
    "sensors-unplugged": ["phase-driven", "sensor-w"],
    "bridge-low-u-shorted": ["phase-driven", "low-u"],
    "bridge-high-v-open": ["running-v", "running-w", "high-v"],
    "trigger-dead": ["trigger-signal"],
    "winding-u-open": ["phase-driven", "winding-uv", "winding-wu"],
    "winding-v-shorted": ["pack-sag", "rotor-free"],
    "lead-w-open": ["phase-driven", "winding-vw", "winding-wu"],
    "joint-v-burnt": ["running-v", "running-w", "phase-joints"],
    "winding-earthed": ["winding-earth"],
    "motor-seized": ["chuck-turn", "pack-sag", "motor-shaft"],
    "gear-jam": ["chuck-turn", "pack-sag", "gears-input"],
  },
  charger: {
    "charger-dead": ["charger-lamp", "pack-after"],
    "charger-shorted": ["plug-short"],
    "charger-ripple": ["charger-ripple"],
    "charger-no-current": ["charger-lamp", "pack-after"],
    "charger-too-high": ["charger-output"],
  },
  pack: {
    "cell-3-weak": ["pack-load", "cell-3-load"],
    "cell-2-low": ["cell-2"],
    "pack-dead": ["pack-open", "stack", "cell-2", "pack-ready"],
    "pack-asleep": ["pack-open"],
    "protection-dead": ["pack-open", "charger-lamp", "pack-ready"],
    "pack-discharged": ["pack-open"],
    "thermistor-open": ["thermistor"],
    "thermistor-shorted": ["thermistor"],
  },
  "corded-universal": {
    "cord-live-broken": ["through", "cord-live"],
    "cord-neutral-broken": ["through", "cord-neutral"],
    "earth-broken": ["earth"],
    "switch-open": ["through", "switch-works"],
    "switch-burnt": ["switch-works"],
    "switch-neutral-open": ["through", "switch-neutral"],
    "capacitor-shorted": ["plug-short", "through"],
    "field-open": ["through", "field"],
    "field-shorted": ["field"],
    "brush-worn": ["brush-length", "motor-sweep"],
    "armature-open": ["through", "motor-sweep", "commutator", "armature-bars"],
    "armature-burnt-bar": ["motor-sweep", "commutator", "armature-bars"],
    "gear-jam": ["chuck-turn"],
    "insulation-poor": ["insulation"],
  },
};

/** What a person says of the whole tool: it fails with anything that keeps the tool from running. */
const OF_THE_WHOLE = ["motor-turns", "motor-turns-fed"];
/** Kinds whose every step must leave alone what is sound. */
const EXACT = ["cordless-brushed", "cordless-brushed-electronic", "corded-universal"];

/** Steps that failed although the hidden fault is none of theirs: a good part condemned. */
export function wronglyFailed(
  done: Pick<PracticeRun, "results">,
  kind: string,
  shows: readonly string[],
): string[] {
  if (!EXACT.includes(kind)) return [];
  const rightly = [...shows, ...OF_THE_WHOLE];
  return stepsWith(done, "fail").filter((id) => !rightly.includes(id));
}

/** Steps that came out with one of these verdicts, in order. */
export function stepsWith({ results }: Pick<PracticeRun, "results">, ...verdicts: string[]) {
  return [...results].filter(([, { verdict }]) => verdicts.includes(verdict)).map(([id]) => id);
}
