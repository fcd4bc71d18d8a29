import { describe, expect, test } from "vitest";
import { chooseStep } from "../../../workbench/diagnosis/order/choose-step.js";
import type { Weight, Weights } from "../../../workbench/diagnosis/order/choose-step.js";
import type { Order } from "../../../workbench/contract/orders.js";
import { createRunner } from "../../../workbench/plan/runner.js";
import type { Runner } from "../../../workbench/plan/runner.js";
import type { RunEvent } from "../../../workbench/plan/run-event.js";
import { ruledOut } from "../../../workbench/plan/needs.js";
import { firstFor } from "../../../workbench/plan/order/set-up.js";
import { plainResult } from "../../../workbench/plan/step-results.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";
import { AS_BOOKED_IN, stateAfter } from "../../../workbench/plan/tool-state.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";
import { doStep, measure, planOf } from "./bench.js";

const IN = { pack: "in", case: "open" } as const;
const DEAD = { pack: "out", case: "open" } as const;
const plan = planOf([
  measure("proof", { red: "known-plus", black: "known-minus" }),
  measure("pack"),
  doStep("open", {
    sets: { case: "open" },
    removes: { what: "half", from: "case", fasteners: 8 },
  }),
  doStep("pack-in", { sets: { pack: "in" }, cautions: ["moving-tool"] }),
  measure("fed", { condition: IN }),
  measure("sag", { condition: IN, needs: [{ step: "fed", verdict: "pass" }] }),
  doStep("pack-out", { sets: { pack: "out" }, cautions: ["power-off-for-ohms"] }),
  measure("motor", { quantity: "resistance", coupling: null, condition: DEAD }),
  doStep("close", { sets: { case: "closed" }, putsBack: ["open"] }),
]);

const weight = (information_bits: number): Weight => ({
  condition: { ...AS_BOOKED_IN, trigger: "released", shaft: "still" },
  information_bits,
  cost_s: 20,
  forbidden: false,
  tells: [],
});
const weights = (of: Record<string, number>, settled: string | null = null): Weights => ({
  of: new Map(Object.entries(of).map(([id, bits]) => [id, weight(bits)])),
  settled,
});

/** A run whose person does what is said and whose readings all pass; who weighs is the test's. */
class Follower {
  readonly runner: Runner;
  readonly begun: string[] = [];
  readonly events: RunEvent[] = [];
  time_s = 0;

  constructor(
    readonly plan: Plan,
    private readonly weigh: (results: ReadonlyMap<string, StepResult>) => Weights,
    order: Order = "proposed",
  ) {
    this.runner = createRunner({ plan, toolData: {}, accuracy: new Map(), startAt_s: 0, order });
    this.hear(this.runner.start());
  }

  /** Skips are the only results that a test can make without a meter; `do` steps are confirmed. */
  do(step: string): void {
    this.time_s += 1;
    this.hear(this.runner.push({ kind: "confirm", step, choice: null, time_s: this.time_s }));
  }

  order(order: Order): void {
    this.time_s += 1;
    this.hear(this.runner.push({ kind: "order", order, time_s: this.time_s }));
  }

  hear(events: readonly RunEvent[]): void {
    for (const event of events) {
      this.events.push(event);
      if (event.kind === "begin") this.begun.push(event.step);
      if (event.kind !== "choose") continue;
      const { state, time_s } = event;
      const { results } = this.runner;
      const choice = chooseStep({ plan: this.plan, results, state }, this.weigh(results));
      this.hear(this.runner.push({ kind: "chosen", time_s, ...choice }));
    }
  }

  get skipped(): Record<string, string> {
    const said = this.events.flatMap((event) =>
      event.kind === "step" && event.result.reason?.startsWith("skipped")
        ? [[event.result.step, event.result.reason] as const]
        : [],
    );
    return Object.fromEntries(said);
  }
}

/** The order in which a plan is gone through when every step passes. */
function wayThrough(
  way: Plan,
  weigh: (results: ReadonlyMap<string, StepResult>) => Weights,
): { taken: string[]; left: Record<string, string> } {
  const results = new Map<string, StepResult>();
  const taken: string[] = [];
  const left: Record<string, string> = {};
  let state = AS_BOOKED_IN;
  for (let n = 1; n < 200; n += 1) {
    const span = { started_s: n, ended_s: n };
    for (const each of way.steps) {
      const why = results.has(each.id) ? null : ruledOut(way, each, results);
      if (why !== null) {
        results.set(each.id, plainResult(each.id, "not-judged", `skipped: ${why}`, span));
        left[each.id] = why;
      }
    }
    const choice = chooseStep({ plan: way, results, state }, weigh(results));
    for (const { step, reason } of choice.leftOut) {
      results.set(step, plainResult(step, "not-judged", `skipped: ${reason}`, span));
      left[step] = reason;
    }
    if (choice.step === null && choice.leftOut.length === 0) return { taken, left };
    const step = way.steps.find(({ id }) => id === choice.step);
    if (step === undefined) continue;
    taken.push(step.id);
    state = stateAfter(step, state);
    results.set(
      step.id,
      plainResult(step.id, step.kind === "do" ? "not-judged" : "pass", "", span),
    );
  }
  throw new Error(`no end: ${taken.join(" ")}`);
}

describe("the proposed order", () => {
  test("takes what cannot be weighed at its place, then what tells most, with what it needs first", () => {
    const { taken } = wayThrough(plan, () => weights({ pack: 0.1, fed: 0.05, sag: 1, motor: 0.3 }));
    expect(taken).toEqual([
      ...["proof", "open", "pack-in", "fed", "sag"],
      ...["pack-out", "motor", "pack", "close"],
    ]);
  });

  test("opens the tool before any step inside, and never with power on it", () => {
    const { taken } = wayThrough(plan, () => weights({ pack: 0, fed: 0, sag: 0, motor: 1 }));
    expect(taken).toEqual(["proof", "open", "motor", "close"]);
  });

  test("stops when it is settled, records each step left out with the reason, and closes the tool", () => {
    const settled = (results: ReadonlyMap<string, StepResult>): Weights =>
      weights(
        { pack: 0.1, fed: 0.2, sag: 0.3, motor: 1 },
        results.has("motor") ? "the motor is at fault" : null,
      );
    const { taken, left } = wayThrough(plan, settled);
    expect(taken).toEqual(["proof", "open", "motor", "close"]);
    expect(left).toEqual({
      pack: "left out, the motor is at fault",
      fed: "left out, the motor is at fault",
      sag: "left out, the motor is at fault",
      "pack-in": "left out, nothing that is still to be done needs it",
      "pack-out": "left out, the tool is so already",
    });
  });

  test("leaves out what was found to be forbidden, and says so", () => {
    const forbidden = weights({ pack: 1, motor: 1 });
    const of = new Map(forbidden.of).set("pack", { ...weight(0), forbidden: true });
    const { left } = wayThrough(plan, () => ({ ...forbidden, of }));
    expect(left["pack"]).toBe("left out, what was found forbids it");
  });

  test("leaves the pack out of the tool at the end, even where the plan takes it out before", () => {
    const { taken } = wayThrough(plan, (results) =>
      weights({ pack: 0, fed: results.has("motor") ? 1 : 0, sag: 0, motor: 1 }),
    );
    expect(taken).toEqual(["proof", "open", "motor", "pack-in", "fed", "pack-out", "close"]);
  });

  test.each(bundledPlans().map((each) => [each.id, each] as const))(
    "goes through the whole of %s: cautioned looks and removals first, nothing twice but switching",
    (_, way) => {
      const all = Object.fromEntries(way.steps.map(({ id }) => [id, 1]));
      const known = way.points.filter(({ part }) => part === "known-source").map(({ id }) => id);
      const proofs = way.steps.filter((s) => s.kind === "measure" && known.includes(s.red));
      for (const { id } of proofs) Reflect.deleteProperty(all, id);
      const { taken, left } = wayThrough(way, () => weights(all));
      const questions = way.steps.filter(
        ({ kind, id }) => (kind === "measure" || kind === "look") && left[id] === undefined,
      );
      // What is not taken is ruled out by its needs, never left out: all would tell something.
      const worthless = Object.entries(left).filter(([, why]) => why.includes("tell"));
      expect(worthless).toEqual([]);
      expect(questions.length).toBeGreaterThan(7);
      expect(taken).toEqual(expect.arrayContaining(questions.map(({ id }) => id)));
      let state = AS_BOOKED_IN;
      for (const id of taken) {
        const step = way.steps.find((each) => each.id === id)!;
        if (step.kind === "measure") {
          // Whatever it wants of the tool was brought about by a step of its own before.
          expect([id, stateAfter(step, state)]).toEqual([id, state]);
        }
        state = stateAfter(step, state);
      }
      expect(state).toEqual(AS_BOOKED_IN);
    },
  );

  test.each(bundledPlans().map((each) => [each.id, each] as const))(
    "tries %s once more when it is closed, with the power that this takes, and then takes it off",
    (_, way) => {
      const closed = way.steps.findIndex((s) => s.kind === "do" && s.sets.case === "closed");
      const trials = closed < 0 ? [] : way.steps.slice(closed).filter((s) => s.kind === "look");
      // The reasoning can weigh the other steps only, and all of them would tell something.
      const known = Object.fromEntries(way.steps.map(({ id }) => [id, 1]));
      for (const { id } of trials) Reflect.deleteProperty(known, id);
      const { taken } = wayThrough(way, () => weights(known));
      const made = taken.filter((id) => trials.some((trial) => trial.id === id));
      expect(made).toEqual(trials.map(({ id }) => id));
      const state = taken.reduce(
        (one, id) =>
          stateAfter(
            way.steps.find((step) => step.id === id)!,
            one,
          ),
        AS_BOOKED_IN,
      );
      expect(state).toEqual(AS_BOOKED_IN);
    },
  );

  test("waits for capacitors again when power was on since", () => {
    const brushless = bundledPlan("cordless-brushless");
    const at = (step: string, ended_s: number) =>
      [step, plainResult(step, "pass", "", { started_s: ended_s, ended_s })] as const;
    const done = [at("pack-outside", 1), at("open-case", 2), at("pack-in", 3), at("discharge", 6)];
    const results = new Map([...done, at("pack-rest", 4), at("pack-out", 5)]);
    const winding = brushless.steps.find(({ id }) => id === "winding-uv")!;
    const state = { ...AS_BOOKED_IN, case: "open" } as const;
    const first = (of: typeof results) =>
      firstFor({ plan: brushless, results: of, state }, winding)?.step.id;
    expect(first(results)).toBe("controller-empty");
    expect(first(new Map([...results, at("pack-rest", 7)]))).toBe("discharge");
  });
});

describe("another order in the midst of a run", () => {
  const even = () => weights({ pack: 1, fed: 0.2, sag: 0.1, motor: 5 });

  test("puts another step in the place of one that nobody has touched yet", () => {
    const run = new Follower(plan, even, "fixed");
    expect(run.begun).toEqual(["proof"]);
    run.order("proposed");
    expect(run.begun).toEqual(["proof", "proof"]);
    run.runner.push({ kind: "skip", step: "proof", reason: "no source", time_s: 3 });
    expect(run.runner.choosing).toBe(true);
  });

  test("a step that is being done stays", () => {
    const run = new Follower(plan, even, "fixed");
    run.hear(run.runner.push({ kind: "repeat", step: "open", time_s: 1 }));
    run.order("proposed");
    expect(run.runner.current).toBe("open");
  });

  test("free: no step is in progress until another order, or a step asked for by hand", () => {
    const run = new Follower(plan, even, "free");
    expect(run.runner.current).toBeNull();
    run.hear(run.runner.push({ kind: "repeat", step: "open", time_s: 1 }));
    expect(run.runner.current).toBe("open");
    run.do("open");
    expect(run.runner.current).toBeNull();
    run.order("fixed");
    expect(run.runner.current).toBe("proof");
  });

  test("what was left out is open again in the plan's own order, and what a person skipped is not", () => {
    const later = planOf([
      measure("pack"),
      measure("skipped"),
      measure("proof", { red: "known-plus", black: "known-minus" }),
    ]);
    const run = new Follower(later, (results) =>
      weights({ pack: 0, skipped: 1 }, results.has("skipped") ? "it is known" : null),
    );
    expect(run.begun).toEqual(["skipped"]);
    run.hear(run.runner.push({ kind: "skip", step: "skipped", reason: "glued", time_s: 1 }));
    expect(run.skipped).toMatchObject({ pack: "skipped: left out, it is known" });
    expect(run.runner.current).toBe("proof");
    run.order("fixed");
    expect(run.runner.current).toBe("pack");
    run.hear(run.runner.push({ kind: "skip", step: "pack", reason: "glued", time_s: 3 }));
    expect(run.runner.current).toBe("proof");
  });

  test("a step is begun with the cautions of what has to be done to the tool before it", () => {
    const run = new Follower(plan, even, "fixed");
    run.hear(run.runner.push({ kind: "repeat", step: "fed", time_s: 1 }));
    const begun = run.events.findLast((event) => event.kind === "begin");
    expect(begun).toMatchObject({ step: "fed", cautions: ["moving-tool"] });
  });
});
