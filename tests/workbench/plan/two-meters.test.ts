import { describe, expect, it } from "vitest";
import type { TimedReading } from "../../../protocols/reading.js";
import { accuracySchema } from "../../../workbench/measurement/accuracy.js";
import type { Accuracy } from "../../../workbench/measurement/accuracy.js";
import type { Watch } from "../../../workbench/measurement/watch.js";
import { createRunner } from "../../../workbench/plan/runner.js";
import type { Plan } from "../../../workbench/plan/schema.js";
import { measure, planOf } from "./bench.js";

const reading = (channel: string, time_s: number, value: number): TimedReading => ({
  time_s,
  channel,
  quantity: channel === "a" ? "voltage" : "current",
  coupling: "dc",
  value,
  overload: false,
  unit: channel === "a" ? "V" : "A",
  resolution: 0.01,
  flags: [],
});

/** Volts on meter a, amperes on meter b, fifty times a second each. */
function run(
  plan: Plan,
  volts: (t: number) => number,
  amps: (t: number) => number,
  accuracy: ReadonlyMap<string, Accuracy> = new Map(),
) {
  const runner = createRunner({ plan, toolData: {}, accuracy, startAt_s: 0 });
  const events = runner.start();
  for (let tick = 1; tick <= 600 && runner.current !== null; tick += 1) {
    const t = tick / 50;
    for (const [channel, value] of [
      ["a", volts(t)],
      ["b", amps(t)],
    ] as const) {
      const rounded = Number(value.toFixed(2));
      events.push(...runner.push({ kind: "reading", reading: reading(channel, t, rounded) }));
    }
  }
  return { results: runner.results, events };
}

describe("two meters on the bench", () => {
  it("a step listens to the one whose dial fits it, and never asks the other to turn", () => {
    const amps = measure("amps", { quantity: "current", red: "pack-plus", black: "brush-a" });
    const plan = planOf([measure("volts"), amps]);
    const { results, events } = run(
      plan,
      (t) => (t < 1 ? 0 : 18),
      (t) => (t < 1 ? 0 : 2.5),
    );
    expect(results.get("volts")).toMatchObject({ value: 18, unit: "V" });
    expect(results.get("amps")).toMatchObject({ value: 2.5, unit: "A" });
    expect(events.filter(({ kind }) => kind === "prompt")).toEqual([]);
  });

  it("a figure has the accuracy of the meter that it was read on", () => {
    const amps = measure("amps", { quantity: "current", red: "pack-plus", black: "brush-a" });
    const table = (meter: string, quantity: "voltage" | "current", counts: number): Accuracy =>
      accuracySchema.parse({
        meter,
        lines: [{ quantity, coupling: "dc", percentOfReading: 0, counts }],
      });
    const { results } = run(
      planOf([measure("volts"), amps]),
      (t) => (t < 1 ? 0 : 18),
      (t) => (t < 1 ? 0 : 2.5),
      new Map([
        ["a", table("Demo volts", "voltage", 10)],
        ["b", table("Demo amps", "current", 40)],
      ]),
    );
    // Bounds of ± counts at 0.01 a count; the accuracy statement dominates, so U is near them.
    expect(results.get("volts")?.uncertainty).toBeCloseTo(0.1, 1);
    expect(results.get("amps")?.uncertainty).toBeCloseTo(0.4, 1);
    expect(results.get("amps")?.doubt).toBeNull();
  });

  it("a sag also hears the second meter, for the internal resistance; other steps do not", () => {
    const heard: string[] = [];
    const listening = (kind: string): Watch => ({
      push: (given) => {
        heard.push(`${kind} ${given.channel}`);
        return { contact: "touching", band: null, prompt: null, outcome: null };
      },
    });
    const sag = measure("sag", { condition: { trigger: "worked" }, watch: { kind: "sag" } });
    for (const plan of [planOf([sag]), planOf([measure("still")])]) {
      const parts = { startWatch: ({ kind }: { kind: string }) => listening(kind) };
      const options = { plan, toolData: {}, accuracy: new Map(), startAt_s: 0 };
      const runner = createRunner(options, parts);
      runner.start();
      for (const channel of ["a", "b", "a"])
        runner.push({ kind: "reading", reading: reading(channel, 1, 1) });
    }
    expect(heard).toEqual(["sag a", "sag b", "sag a", "settle a", "settle a"]);
  });
});
