import { expect, test } from "vitest";
import { compile } from "../../../workbench/diagnosis/compile.js";
import { infer } from "../../../workbench/diagnosis/infer.js";
import type { Measured } from "../../../workbench/diagnosis/observation.js";
import { Predictor } from "../../../workbench/diagnosis/predict.js";
import { condition } from "../../../workbench/models/conditions.js";
import { about, between } from "../../../workbench/models/model.js";
import type { ToolModel } from "../../../workbench/models/model.js";

/**
 * A second implementation that shares nothing with the first: Ohm's law by hand, every fault value
 * drawn at random, the likelihood of the readings averaged. Three wires in a row, a lamp.
 */
const squeezed = condition({ pack: "in", trigger: "squeezed" });
const WIRES = ["w1", "w2", "w3"] as const;
const ODDS = { open: 0.02, high: 0.03 };

const lampCircuit: ToolModel = {
  kind: "lamp",
  title: "A lamp on three wires",
  nominal_V: 18,
  parts: WIRES.map((id) => ({
    id,
    label: id,
    access: "closed",
    modes: [
      { id: "open", words: "open", odds: ODDS.open, ways: [[{ element: id, ohm: "open" }]] },
      {
        id: "high-resistance",
        words: "high",
        odds: ODDS.high,
        ways: [[{ element: id, ohm: [1, 1000] }]],
      },
    ],
  })),
  points: ["p0", "p1", "p2", "p3", "earth"].map((id) => ({
    id,
    label: id,
    access: "closed",
    after: null,
  })),
  elements: [
    {
      kind: "source",
      id: "supply",
      a: "p0",
      b: "earth",
      volt: between(17, 21),
      ohm: about(0.1, 1.2),
    },
    ...WIRES.map((id, i) => ({
      kind: "resistor" as const,
      id,
      a: `p${i}`,
      b: `p${i + 1}`,
      ohm: about(0.05, 1.5),
    })),
    { kind: "resistor", id: "lamp", a: "p3", b: "earth", ohm: about(10, 1.2) },
  ],
  manners: [],
  conditions: [],
  sightings: [],
  probes: [],
};

/** Volts to earth at p1, p2, p3 for one draw. */
function drawVolts(random: () => number, faults: readonly ("ok" | "open" | "high")[]): number[] {
  const gauss = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const volt = 19 + (4 / Math.sqrt(12)) * gauss();
  const wires = faults.map((fault) => {
    if (fault === "open") return Infinity;
    if (fault === "high") return Math.exp(random() * Math.log(1000));
    return 0.05 * Math.exp(Math.log(1.5) * gauss());
  });
  const inner = 0.1 * Math.exp(Math.log(1.2) * gauss());
  const lamp = 10 * Math.exp(Math.log(1.2) * gauss());
  const total = inner + wires.reduce((a, b) => a + b, 0) + lamp;
  return [1, 2, 3].map((n) => {
    const before = inner + wires.slice(0, n).reduce((a, b) => a + b, 0);
    if (!Number.isFinite(before)) return 0;
    return Number.isFinite(total) ? volt * (1 - before / total) : volt;
  });
}

function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 4294967296;
  };
}

/** Probability of each set of faulty wires given readings at p1, p2, p3. */
function byBruteForce(readings: readonly number[], draws: number): Map<string, number> {
  const random = seeded(7);
  const kinds = ["ok", "open", "high"] as const;
  const weights = new Map<string, number>();
  for (const a of kinds) {
    for (const b of kinds) {
      for (const c of kinds) {
        const faults = [a, b, c];
        let sum = 0;
        for (let i = 0; i < draws; i += 1) {
          sum += likelihood(readings, drawVolts(random, faults));
        }
        const prior = faults.reduce((p, one) => (one === "ok" ? p : p * ODDS[one]), 1);
        const healthy = faults.every((one) => one === "ok") ? 0.05 : 1;
        const key = WIRES.filter((_, i) => faults[i] !== "ok").join(" ");
        weights.set(key, (weights.get(key) ?? 0) + (prior * healthy * sum) / draws);
      }
    }
  }
  const total = [...weights.values()].reduce((x, y) => x + y, 0);
  return new Map([...weights].map(([key, weight]) => [key, weight / total]));
}

/** Each reading honest with its noise, or a slip: the same error model, written out again. */
function likelihood(readings: readonly number[], volts: readonly number[]): number {
  return readings.reduce((product, reading, i) => {
    const sd = Math.hypot(0.006 * Math.abs(reading), 0.2);
    const nothing = Math.abs(reading) < 0.1;
    const slip = nothing ? 0.01 : 0.004;
    const honest =
      Math.exp(-0.5 * ((reading - volts[i]!) / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));
    return product * ((1 - slip) * honest + slip * (nothing ? 3 : 0.01));
  }, 1);
}

test.each([
  ["a healthy circuit", [18.7, 18.6, 18.5]],
  ["an open second wire", [18.9, 0, 0]],
  ["a high resistance in the third wire", [18.8, 18.7, 9.2]],
  ["two high resistances", [14.1, 13.9, 8.1]],
  ["a reading that fits nothing", [18.6, 3.3, 18.4]],
])("agrees with brute force on %s", (_, readings) => {
  const expected = byBruteForce(readings, 6000);
  const observations = readings.map((value, i): Measured => ({
    kind: "measured",
    quantity: "voltage",
    red: `p${i + 1}`,
    black: "earth",
    condition: squeezed,
    value,
    u: null,
    proved: false,
    unsteady: null,
  }));
  const posterior = infer(new Predictor(compile(lampCircuit)), observations);
  const found = new Map(
    posterior.candidates.map((one) => [
      one.parts.map((part) => WIRES[part]).join(" "),
      one.probability,
    ]),
  );
  for (const [parts, probability] of expected) {
    expect(Math.abs((found.get(parts) ?? 0) - probability), parts).toBeLessThan(0.05);
  }
});
