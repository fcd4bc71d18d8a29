import { describe, expect, it } from "vitest";
import { practiceKind } from "../../drivers/practice/kinds.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { practiceRun } from "../workbench/plan/practice-run.js";
import type { PracticeRun } from "../workbench/plan/practice-run.js";

const plan = bundledPlan("cordless-brushed");
const faults = practiceKind("cordless-brushed").faults.map(({ id }) => id);

/** What each fault must show as failed or borderline; the tool's own steps only. */
const FAILS: Readonly<Record<string, readonly string[]>> = {
  "charger-dead": ["charger-output"],
  "charger-fuse": ["charger-output"],
  "pack-dead": ["pack-open", "pack-rest"],
  "pack-asleep": ["pack-open", "pack-rest"],
  "pack-discharged": ["pack-open"],
  "pack-weak-cell": ["pack-sag"],
  "terminal-corroded": ["terminals-load"],
  "terminal-bent": ["terminals-rest"],
  "switch-minus-open": ["switch-out", "switch-minus"],
  "switch-open": ["switch-out", "switch-works"],
  "switch-burnt": ["switch-out", "switch-works"],
  "switch-stuck": ["switch-works"],
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
};

function failed(run: PracticeRun): string[] {
  return [...run.results].filter(([, { verdict }]) => verdict === "fail").map(([id]) => id);
}

function notPassed(run: PracticeRun): string[] {
  const shows = (verdict: string): boolean => verdict === "fail" || verdict === "borderline";
  return [...run.results].filter(([, { verdict }]) => shows(verdict)).map(([id]) => id);
}

describe("the whole brushed plan on the practice bench, the simulated hand alone", () => {
  it("knows what every fault of the practice tool has to show", () => {
    expect(Object.keys(FAILS).sort()).toEqual([...faults].sort());
  });

  it.each([1, 2, 3])("healthy tool, seed %i: ends, and nothing fails", async (seed) => {
    const run = await practiceRun({ plan, faults: [], seed });
    expect(run.finished).toBe(true);
    expect(failed(run)).toEqual([]);
  });

  it("no step passes on a voltage that is not there", async () => {
    const run = await practiceRun({ plan, faults: ["gear-jam"], seed: 3 });
    for (const [id, { verdict, value, unit }] of run.results)
      if (verdict === "pass" && unit === "V") expect(value, id).toBeGreaterThan(5);
  });

  it.each(faults)("%s: ends, and shows it", async (fault) => {
    const run = await practiceRun({ plan, faults: [fault], seed: 1 });
    expect(run.finished).toBe(true);
    // Borderline shows it too: a meter of half a percent may not settle the last tenth of a volt.
    expect(notPassed(run)).toEqual(expect.arrayContaining([...FAILS[fault]!]));
  });
});
