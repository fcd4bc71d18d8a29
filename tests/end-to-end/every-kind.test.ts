import { describe, expect, it } from "vitest";
import { practiceKind } from "../../drivers/practice/kinds.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { practiceRun } from "../workbench/plan/practice-run.js";
import type { PracticeRun } from "../workbench/plan/practice-run.js";

type Shows = Readonly<Record<string, readonly string[]>>;

/** What the supply's faults must show as failed, in every cordless tool. */
const SUPPLY: Shows = {
  "charger-dead": ["charger-output"],
  "charger-fuse": ["charger-output"],
  "pack-dead": ["pack-open", "pack-rest"],
  "pack-asleep": ["pack-open", "pack-rest"],
  "pack-discharged": ["pack-open"],
  "pack-weak-cell": ["pack-sag"],
  "terminal-corroded": ["terminals-load"],
  "terminal-bent": ["terminals-rest"],
};

/** What each fault of each kind must show as failed by the bundled plan of that kind. */
const SHOWS: Readonly<Record<string, Shows>> = {
  "cordless-brushed-electronic": {
    ...SUPPLY,
    "switch-dead": ["switch-out"],
    "switch-shorted": ["trigger-input"],
    "switch-weak": ["switch-out"],
    "switch-minus-open": ["switch-out"],
    "lead-red-broken": ["motor-volts", "lead-red"],
    "lead-black-broken": ["motor-volts", "lead-black"],
    "lead-black-frayed": ["motor-volts", "lead-black"],
    "brush-worn": ["motor-sweep"],
    "brush-stuck": ["motor-sweep"],
    "motor-open": ["motor-sweep"],
    "motor-burnt-bar": ["motor-sweep"],
    "motor-shorted-turns": ["pack-sag"],
    "motor-seized": ["pack-sag", "chuck-turn"],
    "gear-jam": ["pack-sag", "chuck-turn"],
  },
  "cordless-brushless": {
    ...SUPPLY,
    "controller-dead": ["trigger-supply"],
    "controller-joint": ["controller-supply"],
    "bridge-low-u-shorted": ["low-u"],
    "bridge-high-v-open": ["high-v"],
    "trigger-dead": ["trigger-signal"],
    "winding-u-open": ["winding-uv"],
    "winding-earthed": ["winding-earth"],
    "motor-seized": ["pack-sag", "chuck-turn"],
    "gear-jam": ["pack-sag", "chuck-turn"],
  },
  charger: {
    "charger-dead": ["pack-after"],
    "charger-shorted": ["plug-short"],
    "charger-ripple": ["charger-ripple"],
    // The rise that the plan asks for is less than the meter's uncertainty: borderline at best.
    "charger-no-current": [],
    "charger-too-high": ["charger-output"],
  },
  pack: {
    "cell-3-weak": ["pack-load"],
    "cell-2-low": ["cell-2"],
    "pack-dead": ["pack-open"],
    "pack-asleep": ["pack-open"],
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
    "field-open": ["through", "field"],
    "field-shorted": ["field"],
    "brush-worn": ["brush-length"],
    "armature-open": ["motor-sweep"],
    "armature-burnt-bar": ["motor-sweep"],
    "insulation-poor": ["insulation"],
  },
};

function failed(run: PracticeRun): string[] {
  return [...run.results].filter(([, { verdict }]) => verdict === "fail").map(([id]) => id);
}

describe.each(Object.entries(SHOWS))("the bundled plan %s on the practice bench", (kind, shows) => {
  const plan = bundledPlan(kind);

  it("is told what every fault of its kind has to show", () => {
    const faults = practiceKind(kind).faults.map(({ id }) => id);
    expect(Object.keys(shows).sort()).toEqual([...faults].sort());
  });

  it("has only points that the simulated tool has", () => {
    expect(practiceKind(kind).points).toEqual(expect.arrayContaining(plan.points.map((p) => p.id)));
  });

  it.each([1, 2])("ends without a fail for a healthy one, seed %i", async (seed) => {
    const run = await practiceRun({ plan, faults: [], seed, limit_s: 1500 });
    expect(run.finished).toBe(true);
    expect(failed(run)).toEqual([]);
  });

  it.each(Object.entries(shows))("%s: ends, and shows it", async (fault, steps) => {
    const run = await practiceRun({ plan, faults: [fault], seed: 3, limit_s: 1500 });
    expect(run.finished).toBe(true);
    expect(failed(run)).toEqual(expect.arrayContaining([...steps]));
  });
});
