import { describe, expect, it } from "vitest";
import { LeadhandError } from "../../../protocols/error.js";
import { checkPlan, isRefused } from "../../../workbench/plan/check.js";
import { parsePlan } from "../../../workbench/plan/load.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import { bundledPlans } from "../../../workbench/plans/bundled.js";

/**
 * Random mutations of the bundled plans against hazards that are worked out here from scratch: each
 * step is taken in turn with every combination of skippable `do` steps done or left out.
 */

/** A small seeded generator (Park and Miller 1988, minimal standard). */
class Chance {
  constructor(private seed: number) {}
  below(n: number): number {
    this.seed = (this.seed * 48271) % 2147483647;
    return this.seed % n;
  }
  of<T>(list: readonly T[]): T {
    return list[this.below(list.length)] as T;
  }
}

type Loose = Record<string, unknown>;
interface LoosePlan {
  points: Loose[];
  steps: Loose[];
}

const VALUES: Readonly<Record<string, readonly string[]>> = {
  pack: ["in", "out", "at-motor"],
  charger: ["plugged", "unplugged"],
  mains: ["plugged", "unplugged"],
  motor: ["connected", "disconnected"],
  case: ["open", "closed", "motor-out"],
  trigger: ["released", "squeezed", "worked"],
};
const QUANTITIES = ["voltage", "current", "resistance", "continuity", "diode"];

type Mutate = (plan: LoosePlan, chance: Chance) => void;
const anyStep = (plan: LoosePlan, chance: Chance) => chance.of(plan.steps);

const MUTATIONS: readonly Mutate[] = [
  (plan, chance) => void plan.steps.splice(chance.below(plan.steps.length), 1),
  (plan, chance) => {
    const [step] = plan.steps.splice(chance.below(plan.steps.length), 1);
    if (step) plan.steps.splice(chance.below(plan.steps.length + 1), 0, step);
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    const field = chance.of(Object.keys(VALUES));
    const holder = step["kind"] === "do" ? "sets" : "condition";
    if (field === "trigger" && holder === "sets") return;
    step[holder] = { ...(step[holder] as Loose | undefined), [field]: chance.of(VALUES[field]!) };
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    const holder = (step["sets"] ?? step["condition"]) as Loose | undefined;
    if (holder) Reflect.deleteProperty(holder, chance.of(Object.keys(VALUES)));
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    const cautions = [...((step["cautions"] as string[] | undefined) ?? [])];
    cautions.splice(chance.below(Math.max(1, cautions.length)), 1);
    step["cautions"] = cautions;
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    if (step["kind"] === "measure") step["quantity"] = chance.of(QUANTITIES);
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    if (step["kind"] === "measure")
      step[chance.of(["red", "black"])] = chance.of(plan.points)["id"];
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    step["needs"] = [
      {
        step: anyStep(plan, chance)["id"],
        verdict: chance.of(["pass", "fail", "any", "not-pass"]),
      },
    ];
  },
  (plan, chance) => {
    const step = anyStep(plan, chance);
    const limit = chance.of<unknown>([-1, 0, 1e-9, 1e12, "cells * 0", "1/0", "cells ^", "x", null]);
    step["limits"] = { [chance.of(["low", "high"])]: limit, source: "mutation" };
  },
  (plan, chance) => {
    // Anything anywhere: a random field of a random step becomes something else.
    const step = anyStep(plan, chance);
    const field = chance.of(Object.keys(step));
    step[field] = chance.of<unknown>([
      null,
      7,
      "",
      [],
      {},
      "worked",
      true,
      [null],
      { kind: "sag" },
    ]);
  },
];

/** Twice as often what can make a hazard: order, conditions, cautions, functions, points. */
const WEIGHTED = [...MUTATIONS.slice(0, 7), ...MUTATIONS];

const OHMS = ["resistance", "continuity", "diode", "capacitance"];
const START = {
  pack: "out",
  charger: "unplugged",
  mains: "unplugged",
  case: "closed",
  motor: "connected",
};

/** Hazards met on one walk, as step and code; `done` says whether the skippable `do` step with that number is done. */
function hazardsOnWalk(plan: Plan, done: (index: number) => boolean): string[] {
  const found: string[] = [];
  const state: Record<string, string> = { ...START };
  let skippable = 0;
  const left = new Set<string>();
  const taken = new Set<string>();
  for (const step of plan.steps) {
    if (step.needs.some((need) => need.verdict !== "not-pass" && left.has(need.step))) {
      left.add(step.id);
      continue;
    }
    if (step.kind === "do") {
      // Needing nothing but other do steps that were done, it is done itself.
      const certain = step.needs.every(
        ({ step: id, verdict }) => verdict === "any" && taken.has(id),
      );
      if (step.needs.length > 0 && !certain && !done(skippable++)) {
        left.add(step.id);
        continue;
      }
      taken.add(step.id);
      Object.assign(state, step.sets);
      if (step.sets.mains === "plugged" || step.sets.charger === "plugged")
        if (!step.cautions.includes("mains")) found.push(`${step.id} caution-missing`);
      if (state["pack"] === "at-motor") {
        if (state["motor"] === "connected") found.push(`${step.id} feed-through-switch`);
        if (!step.cautions.includes("moving-tool")) found.push(`${step.id} caution-missing`);
      }
    }
    if (step.kind !== "measure") continue;
    const { condition, cautions, quantity } = step;
    const fed = (where: Record<string, string>) =>
      ["in", "at-motor"].includes(where["pack"] ?? "") ||
      where["charger"] === "plugged" ||
      where["mains"] === "plugged";
    const ohms = OHMS.includes(quantity);
    if (ohms && (fed(state) || fed(condition))) found.push(`${step.id} powered-ohms`);
    if (ohms && !cautions.includes("power-off-for-ohms")) found.push(`${step.id} caution-missing`);
    const point = (id: string) => plan.points.find((each) => each.id === id)!;
    const [red, black] = [point(step.red), point(step.black)];
    if (ohms && red.source && black.source && red !== black)
      found.push(`${step.id} ohms-across-source`);
    if (quantity === "current" && red.part === black.part) found.push(`${step.id} ammeter-across`);
    if (
      (state["mains"] === "plugged" || condition.charger === "plugged") &&
      !cautions.includes("mains")
    )
      found.push(`${step.id} caution-missing`);
    if (condition.trigger !== "released" && fed({ pack: condition.pack, mains: condition.mains }))
      if (!cautions.includes("moving-tool")) found.push(`${step.id} caution-missing`);
    if (condition.pack === "at-motor" && condition.motor === "connected")
      found.push(`${step.id} feed-through-switch`);
    for (const field of ["pack", "charger", "mains", "motor"] as const)
      if (condition[field] !== state[field]) found.push(`${step.id} condition-not-set`);
  }
  return found;
}

function hazards(plan: Plan): string[] {
  const skippable = plan.steps.filter((step) => step.kind === "do" && step.needs.length > 0).length;
  const walks = 2 ** Math.min(skippable, 6);
  const found = new Set<string>();
  for (let walk = 0; walk < walks; walk += 1)
    for (const hazard of hazardsOnWalk(plan, (index) => (walk >> index) % 2 === 0))
      found.add(hazard);
  return [...found];
}

describe("1,000 random mutations of the bundled plans", () => {
  const chance = new Chance(20261125);
  const originals = bundledPlans();
  const tally = { unreadable: 0, refused: 0, passed: 0, hazardous: 0 };
  const escaped: string[] = [];
  const crashes: unknown[] = [];

  for (let run = 0; run < 1000; run += 1) {
    const mutated = JSON.parse(JSON.stringify(chance.of(originals))) as LoosePlan;
    const times = 1 + chance.below(3);
    for (let time = 0; time < times; time += 1)
      if (mutated.steps.length > 0) chance.of(WEIGHTED)(mutated, chance);
    try {
      const plan = parsePlan(mutated, `mutation ${run}`);
      const findings = checkPlan(plan);
      const refused = isRefused(findings);
      const named = new Set(findings.map(({ step, code }) => `${step ?? ""} ${code}`));
      const dangers = hazards(plan);
      tally[refused ? "refused" : "passed"] += 1;
      if (dangers.length > 0) tally.hazardous += 1;
      const missed = dangers.filter((danger) => !refused || !named.has(danger));
      if (missed.length > 0) escaped.push(`mutation ${run}: ${missed.join("; ")}`);
    } catch (thrown) {
      if (thrown instanceof LeadhandError && thrown.area === "plan") tally.unreadable += 1;
      else crashes.push(thrown);
    }
  }

  it("never crash loader or checker", () => {
    expect(crashes).toEqual([]);
  });

  it("that create a named hazard never pass, and the hazard is named at its step", () => {
    expect(escaped).toEqual([]);
  });

  it("are a fair sample: hazardous, harmless and unreadable ones all occur", () => {
    expect(tally.hazardous).toBeGreaterThan(150);
    expect(tally.passed).toBeGreaterThan(100);
    expect(tally.unreadable).toBeGreaterThan(50);
  });

  it("start from plans in which the oracle itself finds nothing", () => {
    for (const plan of originals) expect(hazards(plan)).toEqual([]);
  });
});
