import { describe, expect, test } from "vitest";
import { conformance, judge } from "../../../workbench/measurement/judge.js";

const normal = (u: number) => ({ u, dof: Infinity, rectangular: [] });
const input = { value: 10, ...normal(0.1), limits: { low: 9, high: 11 } } as const;

describe("verdicts", () => {
  test.each([
    ["simple", 10.99, "pass"],
    ["simple", 11.01, "fail"],
    ["guarded", 10.79, "pass"],
    ["guarded", 10.99, "borderline"],
    ["guarded", 11.19, "borderline"],
    ["guarded", 11.21, "fail"],
    ["guarded", 8.79, "fail"],
  ] as const)("%s rule, %d V: %s", (rule, value, verdict) => {
    expect(judge({ ...input, value, rule }).verdict).toBe(verdict);
  });

  test("no limits: not judged, no risk", () => {
    const judgement = judge({ ...input, limits: { low: null, high: null }, rule: "guarded" });
    expect(judgement).toMatchObject({ verdict: "not-judged", risk: null });
    expect(judgement.expandedUncertainty).toBeCloseTo(0.2, 6);
  });

  test("without any uncertainty the risk is none or certain", () => {
    expect(judge({ ...input, u: 0, rule: "simple" }).risk).toBe(0);
    expect(judge({ ...input, u: 0, value: 12, rule: "simple" }).risk).toBe(0);
  });

  test("a window narrower than its guard bands passes nothing", () => {
    expect(judge({ ...input, u: 0.6, rule: "guarded" }).verdict).toBe("borderline");
  });
});

describe("published figures", () => {
  test("JCGM 106:2012, Zener diode: conformance probability 0.92 (from memory)", () => {
    const limits = { low: null, high: -5.4 };
    expect(conformance(-5.47, normal(0.05), limits)).toBeCloseTo(0.9192, 4);
  });

  test("JCGM 106:2012, 8.3.2: speed limit of 100 km/h, u = 2 %: above 107 shown it is exceeded in 99.9 of 100 (from memory)", () => {
    const exceeded = (shown: number) =>
      1 - conformance(shown, normal(0.02 * shown), { low: null, high: 100 });
    expect(exceeded(107)).toBeGreaterThan(0.999);
    expect(exceeded(106)).toBeLessThan(0.999);
  });

  test("JCGM 106:2012, 7.3 Table 1: z for conformance 0.80 … 0.999 (from memory)", () => {
    const table = { 0.8: 0.84, 0.9: 1.28, 0.95: 1.64, 0.99: 2.33, 0.999: 3.09 };
    for (const [probability, z] of Object.entries(table)) {
      const found = conformance(-z, normal(1), { low: null, high: 0 });
      expect(found).toBeCloseTo(Number(probability), 2);
    }
  });

  // Risks of false acceptance at the acceptance limit, U = 2u. w = 0 and w = U read in reprints of
  // ILAC-G8:09/2019 Table 1, the others from memory.
  test.each([
    [0, 0.5],
    [0.83, 0.05],
    [1, 0.025],
    [1.5, 0.0016],
    [3, 1e-6],
  ])("ILAC-G8:09/2019 Table 1: guard w = %d U, risk below %d", (r, most) => {
    const value = 11 - r * 0.2 - 1e-9;
    const { verdict, risk } = judge({
      ...input,
      value,
      limits: { low: null, high: 11 },
      rule: "guarded",
      guard: r,
      coverage: 0.954499736103642,
    });
    expect(verdict).toBe("pass");
    expect(risk).toBeLessThanOrEqual(most);
    expect(risk).toBeGreaterThan(r === 3 ? 0 : most * 0.8);
  });
});
