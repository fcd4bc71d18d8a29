import { describe, expect, test } from "vitest";
import { coverageFactor } from "../../../workbench/measurement/distributions.js";
import { errorCdf, expansionFactor } from "../../../workbench/measurement/error-distribution.js";
import { conformance, judge } from "../../../workbench/measurement/judge.js";
import { combine, welchSatterthwaite } from "../../../workbench/measurement/uncertainty.js";
import { Random } from "./random.js";

/** Independent parts by their standard uncertainties. */
function parts(rectangular: readonly number[], normal: readonly number[] = [], dof = Infinity) {
  return { u: Math.hypot(...rectangular, ...normal), dof, rectangular };
}

// EA-4/02 M:2013, worked examples, as read in a text copy.
describe("EA-4/02 M:2013", () => {
  test("S2: a mass by repeated comparison, one part of two degrees of freedom", () => {
    const budget = [22.5, 8.95, 14.4, 5.77, 5.77].map((u, k) => ({
      u,
      dof: k === 2 ? 2 : Infinity,
    }));
    expect(combine(budget)).toBeCloseTo(29.3, 1);
    expect(coverageFactor(0.9545, welchSatterthwaite(budget))).toBeCloseTo(2.08, 2);
  });

  test("S3: a standard resistor of 10 kΩ, U = 17 mΩ with k = 2", () => {
    const u_mohm = combine([2.5, 5.8, 1.6, 3.2, 4.1, 0.7].map((u) => ({ u })));
    expect(u_mohm).toBeCloseTo(8.33, 1);
    const k = expansionFactor({ u: u_mohm, dof: Infinity, rectangular: [] }, 0.9545);
    expect(k * u_mohm).toBeCloseTo(17, 0);
  });

  test("S9: a hand-held multimeter at 100 V, a rectangle dominates: k = 1.65, U = 0.05 V", () => {
    expect(expansionFactor(parts([0.029]), 0.95)).toBeCloseTo(1.65, 2);
    // The document takes the rectangle alone; the small parts round its corners off a little.
    const all = parts([0.029, 0.0064], [0.001]);
    const k = expansionFactor(all, 0.95);
    expect(k * all.u).toBeCloseTo(0.05, 2);
    expect(k).toBeGreaterThan(1.65);
    expect(k).toBeLessThan(1.72);
  });

  test("S10: a vernier calliper, two rectangles dominate: k = 1.83, U = 60 µm", () => {
    const all = parts([15, 29], [0.46, 1.7 * 1.15]);
    expect(all.u).toBeCloseTo(33, 0);
    const k = expansionFactor(all, 0.95);
    expect(Math.abs(k - 1.83)).toBeLessThan(0.015);
    expect(k * all.u).toBeCloseTo(60, 0);
  });

  test("S11: a temperature block, one rectangle among several: k = 1.81, U = 0.30 K", () => {
    const all = parts([10, 23, 29, 58, 144, 29, 17], [15]);
    expect(all.u).toBeCloseTo(164, 0);
    const k = expansionFactor(all, 0.95);
    expect(Math.abs(k - 1.81)).toBeLessThan(0.03);
    expect((k * all.u) / 1000).toBeCloseTo(0.3, 2);
  });
});

// JCGM 101:2008; from memory, recomputed there by Monte Carlo.
describe("GUM Supplement 1", () => {
  test("9.2.3: four rectangles alike, ±3.88 at 95 %", () => {
    const all = parts([1, 1, 1, 1]);
    expect(Math.abs(expansionFactor(all, 0.95) * all.u - 3.88)).toBeLessThan(0.02);
  });

  test("9.2.4: one rectangle ten times the others, ±17.0 at 95 %", () => {
    const all = parts([10, 1, 1, 1]);
    expect(expansionFactor(all, 0.95) * all.u).toBeCloseTo(17.0, 1);
  });
});

/** Propagation of distributions by Monte Carlo (JCGM 101:2008, 7), as a check on the closed form. */
function simulate(rectangular: readonly number[], normal: number, count: number): Float64Array {
  const random = new Random(11);
  return Float64Array.from({ length: count }, () => {
    const rectangles = rectangular.map((u) => Math.sqrt(3) * u * (2 * random.next() - 1));
    return rectangles.reduce((a, b) => a + b, normal * random.normal());
  });
}

describe("against Monte Carlo propagation", () => {
  const budgets = [
    [[0.069, 0.0029], 0.004],
    [[0.069, 0.03], 0.02],
    [[0.05, 0.05], 0],
    [[0.03, 0.02, 0.015, 0.01], 0.01],
    [[0.01], 0.05],
  ] as const;

  test.each(budgets)("interval of rectangles %j with a normal part %d", (rectangular, normal) => {
    const all = parts(rectangular, [normal]);
    const trials = simulate(rectangular, normal, 200_000);
    const half = expansionFactor(all, 0.9545) * all.u;
    const inside = trials.filter((x) => Math.abs(x) <= half).length / trials.length;
    expect(Math.abs(inside - 0.9545)).toBeLessThan(0.003);
  });

  test("probability that a reading near a limit conforms", () => {
    const all = parts([0.069, 0.0029], [0.004]);
    const trials = simulate([0.069, 0.0029], 0.004, 200_000);
    for (const distance of [-0.1, -0.05, 0, 0.04, 0.08, 0.11]) {
      const inside = trials.filter((x) => 18 + distance + x >= 18).length / trials.length;
      const found = conformance(18 + distance, all, { low: 18, high: null });
      expect(Math.abs(found - inside)).toBeLessThan(0.004);
    }
  });
});

test("beyond the bounds of the accuracy statement nothing is left to chance", () => {
  const all = parts([0.1]);
  expect(errorCdf(all, 0.1 * Math.sqrt(3))).toBe(1);
  const limits = { low: 18, high: null };
  const found = judge({ value: 18.18, ...all, limits, rule: "guarded" });
  expect(found).toMatchObject({ verdict: "pass", risk: 0 });
});

test("few readings widen what the accuracy statement leaves", () => {
  const many = expansionFactor(parts([0.02], [0.02], 800), 0.95);
  const few = expansionFactor(parts([0.02], [0.02], 8), 0.95);
  expect(few).toBeGreaterThan(many);
});
