import { describe, expect, it } from "vitest";
import { createRunner } from "../../../workbench/plan/runner.js";
import { benchFor, doStep, measure, planOf } from "./bench.js";

const PACK = { low: "cells * 3.5", high: "cells * 4.25", source: "test" };

describe("a plan runs from the stream alone", () => {
  it("holds, judges, says and goes on", () => {
    const plan = planOf([
      measure("first", { limits: PACK }),
      measure("second", { red: "brush-a", black: "brush-b", limits: PACK }),
    ]);
    const bench = benchFor(plan).lifted().on(19.84).lifted().on(12.5).lifted();
    expect(bench.results).toMatchObject([
      { step: "first", verdict: "pass", value: 19.84, limits: { low: 17.5, high: 21.25 } },
      { step: "second", verdict: "fail", value: 12.5 },
    ]);
    expect(bench.of("step").map(({ words }) => words)).toEqual([
      "Pass: nineteen point eight four volts.",
      "Fail: twelve point five zero volts. Expected between seventeen point five volts and twenty-one point two five volts. Bad.",
    ]);
    expect(bench.of("finished")).toMatchObject([{ passed: 1, failed: 1, other: 0 }]);
    expect(bench.runner.current).toBeNull();
  });

  it("does not take a probe that has not moved for the next step's reading", () => {
    const plan = planOf([measure("first"), measure("second", { red: "brush-a" })]);
    const bench = benchFor(plan).lifted().on(19.84, 6);
    expect(bench.results).toHaveLength(1);
  });

  it("lets the probe stay where the next step has the same points", () => {
    const plan = planOf([measure("first"), measure("second")]);
    const bench = benchFor(plan).lifted().on(19.84, 4);
    expect(bench.results).toHaveLength(2);
  });

  it("judges with limits from earlier results, and says when one is missing", () => {
    const plan = planOf([
      measure("first"),
      measure("second", {
        red: "brush-a",
        limits: { low: 'result("first") - 0.5', source: "test" },
      }),
      measure("third", {
        limits: { low: 'result("first", "floor")', source: "test" },
      }),
    ]);
    const bench = benchFor(plan).lifted().on(18).lifted().on(17.8).lifted().on(18);
    expect(bench.results).toMatchObject([
      { verdict: "not-judged", reason: null },
      { verdict: "pass", limits: { low: 17.5, high: null } },
      { verdict: "not-judged", reason: "the limit needs the result of first, which has none" },
    ]);
  });

  it("goes on past a bad part and skips what makes no sense any more", () => {
    const needs = [{ step: "first", verdict: "pass" as const }];
    const plan = planOf([
      measure("first", { limits: PACK }),
      measure("second", { needs }),
      measure("third", { red: "brush-a" }),
    ]);
    const bench = benchFor(plan).lifted().on(5).lifted().on(6).lifted();
    expect(bench.results).toMatchObject([
      { step: "first", verdict: "fail" },
      {
        step: "second",
        verdict: "not-judged",
        reason: expect.stringContaining("skipped") as string,
      },
      { step: "third", value: 6 },
    ]);
    expect(bench.of("finished")).toMatchObject([{ passed: 0, failed: 1, other: 2 }]);
  });

  it("says a wrong dial as what to turn to, and takes it back", () => {
    const plan = planOf([measure("first")]);
    const bench = benchFor(plan);
    bench.quantity = "resistance";
    bench.lifted();
    bench.quantity = "voltage";
    bench.lifted();
    expect(bench.of("prompt").map(({ prompt, words }) => [prompt?.kind ?? null, words])).toEqual([
      ["turn-dial", "Turn the dial to DC volts; it is on ohms."],
      [null, ""],
    ]);
  });

  it("judges an open circuit on ohms as beyond the limit", () => {
    const limits = { high: 1.5, source: "test" };
    const step = measure("lead", {
      quantity: "resistance",
      coupling: null,
      zero: "accept",
      limits,
    });
    const bench = benchFor(planOf([step]));
    bench.quantity = "resistance";
    bench.lifted(8);
    expect(bench.results).toMatchObject([{ verdict: "fail", value: null, overload: true }]);
  });

  it("closes a step whose reading never comes to rest", () => {
    const bench = benchFor(planOf([measure("first")])).lifted();
    let up = false;
    bench.run(40, () => ((up = !up) ? 12 : 15));
    expect(bench.results).toMatchObject([{ verdict: "not-judged", value: null }]);
    expect(bench.results[0]!.reason).toContain("never came to rest, between 12 and 15 V");
  });
});

describe("patience", () => {
  it("repeats once when nothing happens, then waits quietly", () => {
    const plan = planOf([measure("first", { zero: "accept" })]);
    const runner = createRunner({ plan, toolData: {}, accuracy: new Map(), startAt_s: 0 });
    runner.start();
    const prompts = [];
    for (let tick = 1; tick <= 600; tick += 1) {
      const time_s = tick / 5;
      const value = tick % 2 === 0 ? 0.4 : 0.5;
      const reading = {
        time_s,
        channel: "a",
        quantity: "resistance",
        coupling: null,
        value: null,
        overload: true,
        unit: "Ω",
        resolution: value,
        flags: [],
      } as const;
      prompts.push(...runner.push({ kind: "reading", reading }).filter((e) => e.kind === "prompt"));
    }
    expect(prompts.map(({ prompt }) => prompt?.kind)).toEqual(["turn-dial", "again"]);
    expect(prompts[1]!.words).toBe(prompts[0]!.words);
  });
});

describe("do steps, hands on the probes", () => {
  const plan = planOf([
    measure("proof", { red: "known-plus", black: "known-minus" }),
    doStep("pack-in", { sets: { pack: "in" } }),
    measure("after", { condition: { pack: "in" } }),
  ]);

  it("takes going on to the next points as yes, and that touch as the next reading", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4).on(19.8);
    expect(bench.results).toMatchObject([
      { step: "proof", value: 9.4 },
      { step: "pack-in", reason: "confirmed by going on to the next points" },
      { step: "after", value: 19.8 },
    ]);
  });

  it("takes a touch of the known source as yes, and not for the next reading", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4).on(9.4);
    expect(bench.results).toMatchObject([{ step: "proof" }, { reason: "confirmed by a touch" }]);
    bench.lifted().on(0.5, 0.2).lifted().on(19.8);
    expect(bench.results[2]).toMatchObject({ step: "after", value: 19.8 });
  });

  it("takes the meter's HOLD key as yes", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4);
    bench.run(0.8, () => 0.01, ["hold"]);
    expect(bench.runner.current).toBe("pack-in");
    bench.lifted();
    expect(bench.results[1]).toMatchObject({ reason: "confirmed with the meter's HOLD key" });
  });

  it("takes turning the dial to the next function as yes", () => {
    const ohms = planOf([
      measure("proof", { red: "known-plus", black: "known-minus" }),
      doStep("pack-out"),
      measure("after", { quantity: "resistance", coupling: null }),
    ]);
    const bench = benchFor(ohms).lifted().on(9.4).lifted(1.4);
    bench.quantity = "resistance";
    bench.lifted().on(0.3);
    expect(bench.results).toMatchObject([
      { step: "proof" },
      { step: "pack-out", reason: "confirmed by turning the dial" },
      { step: "after", value: 0.3, unit: "Ω" },
    ]);
  });

  it("does not take a probe that stays on the last points as yes", () => {
    const bench = benchFor(plan).lifted().on(9.4, 10);
    expect(bench.runner.current).toBe("pack-in");
  });

  it("can still be confirmed or skipped by hand", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4);
    const time_s = bench.time_s;
    bench.runner.push({ kind: "confirm", step: "pack-in", choice: null, time_s });
    bench.runner.push({ kind: "skip", step: "after", reason: "no access", time_s });
    expect(bench.runner.current).toBeNull();
    expect(bench.runner.results.get("after")?.reason).toBe("skipped: no access");
  });
});

describe("look steps", () => {
  const plan = planOf([
    measure("proof", { red: "known-plus", black: "known-minus" }),
    {
      kind: "look",
      id: "shaft",
      title: "Shaft",
      instruction: "Turn the chuck by hand.",
      choices: [
        { id: "free", label: "turns freely", verdict: "pass" },
        { id: "stuck", label: "is stuck", verdict: "fail" },
      ],
    },
  ]);

  it.each([
    [1, "pass"],
    [2, "fail"],
  ])("%i touches choose the verdict %s", (touches, verdict) => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4);
    for (let count = 0; count < touches; count += 1) bench.on(9.4, 0.6).lifted(0.6);
    bench.lifted(1.4);
    expect(bench.results[1]).toMatchObject({ step: "shaft", verdict });
    expect(bench.of("prompt")[0]!.words).toBe(
      "Touch the known source: once for turns freely, twice for is stuck.",
    );
  });

  it("is not put again while somebody counts slowly", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4);
    const asked = () => bench.of("prompt").filter(({ step }) => step === "shaft").length;
    const before = asked();
    bench.lifted(9).on(9.4, 1.8).lifted(0.8).on(9.4, 1.8).lifted(2);
    expect(asked()).toBe(before);
    expect(bench.results[1]).toMatchObject({ step: "shaft", verdict: "fail" });
  });

  it("probes that go straight from live points to the source are counted from there", () => {
    // The probes are still on the 18 V of the step before as the question is put.
    const steps = [measure("live"), ...plan.steps];
    const bench = benchFor(planOf(steps.filter(({ id }) => id !== "proof")))
      .lifted()
      .on(18);
    bench.on(9.4, 0.8).lifted(0.6).on(9.4, 0.6).lifted(2);
    expect(bench.results[1]).toMatchObject({ step: "shaft", verdict: "fail" });
  });

  it("a touch that rubbed is not counted for an answer: the question is put once more", () => {
    const bench = benchFor(plan).lifted().on(9.4).lifted(1.4);
    bench.on(9.4, 0.6).lifted(0.6);
    // The second touch rubs: never the same twice, and never plainly off.
    for (const value of [7.9, 7.2, 6.6, 7.3, 6.4]) bench.on(value, 0.1);
    bench.lifted(1.6);
    expect(bench.results).toHaveLength(1);
    expect(bench.of("prompt").at(-1)!.words).toMatch(/not clear.*Once more/);
    bench.on(9.4, 0.6).lifted(0.6).on(9.4, 0.6).lifted(1.6);
    expect(bench.results[1]).toMatchObject({ step: "shaft", verdict: "fail" });
  });

  it("probes that were on a source before the program listened answer nothing", () => {
    const [, look] = plan.steps;
    const bench = benchFor(planOf(look === undefined ? [] : [look])).on(9.4, 6);
    expect(bench.results).toEqual([]);
    bench.lifted().on(9.4, 0.6).lifted(2);
    expect(bench.results).toMatchObject([{ step: "shaft", verdict: "pass" }]);
  });
});

describe("repeat", () => {
  const plan = planOf([measure("first"), measure("second", { red: "brush-a" })]);

  it("lifting and touching again within a second measures once more", () => {
    const bench = benchFor(plan).lifted().on(19.8, 1.2).lifted(0.4).on(19.82, 3);
    expect(bench.results.map(({ step }) => step)).toEqual(["first", "first"]);
    expect(bench.runner.current).toBe("second");
  });

  it("coming back later, or to another value, is the next step", () => {
    expect(benchFor(plan).lifted().on(19.8, 1.2).lifted(1.2).on(19.8, 3).results).toMatchObject([
      { step: "first" },
      { step: "second" },
    ]);
    expect(benchFor(plan).lifted().on(19.8, 1.2).lifted(0.4).on(15, 3).results).toMatchObject([
      { step: "first" },
      { step: "second" },
    ]);
  });

  it("on request repeats any step, says what has to be set up first, and comes back", () => {
    const steps = [
      measure("first"),
      doStep("pack-in", { sets: { pack: "in" } }),
      measure("second", { condition: { pack: "in" } }),
    ];
    const bench = benchFor(planOf(steps)).lifted().on(19.8).lifted(1.4);
    bench.runner.push({ kind: "confirm", step: "pack-in", choice: null, time_s: bench.time_s });
    const again = bench.runner.push({ kind: "repeat", step: "first", time_s: bench.time_s });
    expect(again).toMatchObject([
      { kind: "begin", step: "first", instruction: "First take the pack out. Measure first." },
    ]);
    bench.lifted().on(19.7);
    expect(bench.of("begin").at(-1)).toMatchObject({
      step: "second",
      instruction: "First put the pack in. Measure second.",
    });
  });
});

describe("after a repeat", () => {
  it("what is left on the probes is the repeated step's, not that of the step before it", () => {
    const steps = [measure("first"), measure("second", { red: "brush-a" }), measure("third")];
    const bench = benchFor(planOf(steps)).lifted().on(19.8).lifted(1.4).on(12).lifted(1.4);
    bench.runner.push({ kind: "repeat", step: "first", time_s: bench.time_s });
    // The third step has the first one's points: the probes may stay.
    bench.on(19.8, 4);
    expect(bench.results.map(({ step }) => step)).toEqual(["first", "second", "first", "third"]);
  });
});

describe("the meter is lost in the middle", () => {
  it("a meter that is there for the first time is not called back", () => {
    const bench = benchFor(planOf([measure("first")]));
    expect(bench.runner.push({ kind: "meter", channel: "a", state: "live", time_s: 0 })).toEqual(
      [],
    );
  });

  it("forgets what was half seen and measures anew", () => {
    const bench = benchFor(planOf([measure("first")]))
      .lifted()
      .on(19.8, 0.6);
    const lost = bench.runner.push({ kind: "meter", channel: "a", state: "lost", time_s: 9 });
    expect(lost).toMatchObject([{ kind: "prompt", prompt: { kind: "meter-lost" } }]);
    bench.runner.push({ kind: "meter", channel: "a", state: "live", time_s: 12 });
    bench.time_s = 12;
    bench.lifted().on(19.6);
    expect(bench.results).toMatchObject([
      { value: 19.6, started_s: expect.closeTo(12.8, 5) as number },
    ]);
  });
});

describe("the same stream", () => {
  it("gives the same events", () => {
    const plan = planOf([
      measure("first", { limits: PACK }),
      measure("second", { red: "brush-a" }),
    ]);
    const run = () => benchFor(plan).lifted().on(19.8).lifted().on(17).lifted().events;
    expect(JSON.stringify(run())).toBe(JSON.stringify(run()));
  });
});
