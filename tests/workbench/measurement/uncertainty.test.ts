import { describe, expect, test } from "vitest";
import {
  coverageFactor,
  normalCdf,
  studentCdf,
} from "../../../workbench/measurement/distributions.js";
import { lineFit } from "../../../workbench/measurement/fit/linear.js";
import {
  combine,
  propagate,
  readingUncertainty,
  rectangular,
  triangular,
  welchSatterthwaite,
} from "../../../workbench/measurement/uncertainty.js";
import { accuracySchema } from "../../../workbench/measurement/accuracy.js";

const mean = (values: readonly number[]) => values.reduce((a, b) => a + b, 0) / values.length;
const deviation = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, x) => sum + (x - mean(values)) ** 2, 0) / (values.length - 1));

describe("JCGM 100:2008 (GUM)", () => {
  test("4.3.4: 129 µΩ at 99 % is a standard uncertainty of 50 µΩ (from memory, recomputed)", () => {
    expect(129 / coverageFactor(0.99, Infinity)).toBeCloseTo(50, 0);
  });

  test("4.3.7 example 2: a voltmeter at 0.928571 V (from memory, recomputed)", () => {
    const half = 14e-6 * 0.928571 + 2e-6 * 1;
    expect(half * 1e6).toBeCloseTo(15, 0);
    expect(rectangular(half) * 1e6).toBeCloseTo(8.7, 1);
    // 5.1.5: with 12 µV of repeatability.
    expect(Math.round(combine([{ u: 12e-6 }, { u: 8.7e-6 }]) * 1e6)).toBe(15);
  });

  test("4.4.3: twenty observed temperatures (Table 1, from memory, recomputed)", () => {
    const observed = [
      96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
      100.95, 101.11, 101.2, 101.57, 101.84, 102.36, 102.72,
    ];
    expect(mean(observed)).toBeCloseTo(100.145, 2);
    expect(deviation(observed)).toBeCloseTo(1.489, 3);
    // What a held reading takes for its repeatability.
    const held = {
      value: mean(observed),
      resolution: null,
      spread: deviation(observed),
      samples: 20,
    };
    const found = readingUncertainty(held, null, { quantity: "temperature", coupling: null })!;
    expect(found.u).toBeCloseTo(0.333, 3);
    expect(found.dof).toBeCloseTo(19, 9);
  });

  test("4.4.5 and 4.4.6: 96 to 104 °C, rectangular and triangular (from memory, recomputed)", () => {
    expect(rectangular(4)).toBeCloseTo(2.3, 1);
    expect(triangular(4)).toBeCloseTo(1.6, 1);
  });

  test("G.4.1: Welch–Satterthwaite of 0.25, 0.57, 0.82 % (from memory, recomputed)", () => {
    const parts = [
      { u: 0.25, dof: 9 },
      { u: 0.57, dof: 4 },
      { u: 0.82, dof: 14 },
    ];
    expect(combine(parts)).toBeCloseTo(1.03, 2);
    expect(welchSatterthwaite(parts)).toBeCloseTo(19.0, 1);
    expect(coverageFactor(0.95, 19)).toBeCloseTo(2.09, 2);
    expect(coverageFactor(0.95, 19) * combine(parts)).toBeCloseTo(2.2, 1);
  });

  test("H.1: gauge block (budget read in reprints of the example's data)", () => {
    const parts = [
      { u: 25, dof: 18 },
      { u: 9.7, dof: 25.6 },
      { u: 2.9, dof: 50 },
      { u: 16.6, dof: 2 },
    ];
    const u = combine(parts);
    const dof = welchSatterthwaite(parts);
    expect(Math.round(u)).toBe(32);
    expect(Math.floor(dof)).toBe(16);
    expect(coverageFactor(0.99, 16)).toBeCloseTo(2.92, 2);
    expect(Math.round(coverageFactor(0.99, 16) * u)).toBe(93);
  });

  test("H.2: R, X and Z of an impedance from five correlated sets (data read, results from memory)", () => {
    const sets = {
      V: [5.007, 4.994, 5.005, 4.99, 4.999],
      I: [0.019663, 0.019639, 0.01964, 0.019685, 0.019678],
      phi: [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    };
    const inputs = Object.values(sets).map((values) => ({
      value: mean(values),
      u: deviation(values) / Math.sqrt(5),
    }));
    const r = (a: readonly number[], b: readonly number[]) =>
      a.reduce((sum, x, k) => sum + (x - mean(a)) * (b[k]! - mean(b)), 0) /
      (4 * deviation(a) * deviation(b));
    const { V, I, phi } = sets;
    const correlation = [
      [1, r(V, I), r(V, phi)],
      [r(V, I), 1, r(I, phi)],
      [r(V, phi), r(I, phi), 1],
    ];
    expect(correlation[0]!.map((x) => x.toFixed(2))).toEqual(["1.00", "-0.36", "0.86"]);
    const resistance = propagate(([v, i, p]) => (v! / i!) * Math.cos(p!), inputs, correlation);
    expect(resistance.value).toBeCloseTo(127.732, 3);
    expect(resistance.u).toBeCloseTo(0.071, 3);
    const reactance = propagate(([v, i, p]) => (v! / i!) * Math.sin(p!), inputs, correlation);
    expect(reactance.value).toBeCloseTo(219.847, 3);
    // Printed 0.295; unrounded data give 0.2956.
    expect(reactance.u).toBeCloseTo(0.295, 2);
    const impedance = propagate(([v, i]) => v! / i!, inputs, correlation);
    expect(impedance.value).toBeCloseTo(254.26, 2);
    expect(impedance.u).toBeCloseTo(0.236, 3);
  });

  test("H.3: calibration line of a thermometer (data read, results from memory)", () => {
    const t = [
      21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511,
    ];
    const b = [
      -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16,
    ];
    const fit = lineFit(
      t.map((x) => x - 20),
      b,
    )!;
    expect(fit.intercept).toBeCloseTo(-0.1712, 4);
    expect(fit.uIntercept).toBeCloseTo(0.0029, 4);
    expect(fit.slope).toBeCloseTo(0.00218, 5);
    expect(fit.uSlope).toBeCloseTo(0.00067, 5);
    expect(fit.correlation).toBeCloseTo(-0.93, 3);
    expect(fit.spread).toBeCloseTo(0.0035, 4);
    const at30 = propagate(
      ([y1, y2]) => y1! + y2! * 10,
      [
        { value: fit.intercept, u: fit.uIntercept },
        { value: fit.slope, u: fit.uSlope },
      ],
      [
        [1, fit.correlation],
        [fit.correlation, 1],
      ],
    );
    expect(at30.value).toBeCloseTo(-0.1494, 4);
    expect(at30.u).toBeCloseTo(0.0041, 4);
  });

  // The table as printed: 68.27, 90, 95, 95.45, 99, 99.73 % (from memory, recomputed).
  test.each([
    [1, 1.84, 6.31, 12.71, 13.97, 63.66, 235.8],
    [2, 1.32, 2.92, 4.3, 4.53, 9.92, 19.21],
    [3, 1.2, 2.35, 3.18, 3.31, 5.84, 9.22],
    [4, 1.14, 2.13, 2.78, 2.87, 4.6, 6.62],
    [5, 1.11, 2.02, 2.57, 2.65, 4.03, 5.51],
    [10, 1.05, 1.81, 2.23, 2.28, 3.17, 3.96],
    [20, 1.03, 1.72, 2.09, 2.13, 2.85, 3.42],
    [50, 1.01, 1.68, 2.01, 2.05, 2.68, 3.16],
    [100, 1.005, 1.66, 1.984, 2.025, 2.626, 3.077],
    [Infinity, 1, 1.645, 1.96, 2, 2.576, 3],
  ])("Table G.2, %d degrees of freedom", (dof, ...printed) => {
    const coverages = [0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973];
    coverages.forEach((coverage, k) => {
      const digits = printed[k]! > 100 ? 1 : 2;
      expect(Math.abs(coverageFactor(coverage, dof) - printed[k]!)).toBeLessThanOrEqual(
        0.5001 * 10 ** -digits,
      );
    });
  });
});

describe("distributions against direct integration of their densities", () => {
  const simpson = (f: (x: number) => number, to: number) => {
    const n = 4000;
    const h = to / n;
    let sum = f(0) + f(to);
    for (let k = 1; k < n; k++) sum += f(k * h) * (k % 2 === 1 ? 4 : 2);
    return 0.5 + (sum * h) / 3;
  };

  test.each([0.3, 1, 2, 3.5])("normal, z = %d", (z) => {
    const density = (x: number) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
    expect(normalCdf(z)).toBeCloseTo(simpson(density, z), 12);
  });

  test.each([0.5, 1.7, 4])("Student, 3 degrees of freedom, t = %d", (t) => {
    const density = (x: number) => (6 * Math.sqrt(3)) / (Math.PI * (3 + x * x) ** 2);
    expect(studentCdf(t, 3)).toBeCloseTo(simpson(density, t), 10);
  });
});

describe("a held reading", () => {
  const accuracy = accuracySchema.parse({
    meter: "Bench meter 3",
    lines: [
      { quantity: "voltage", coupling: "dc", resolution: 0.01, percentOfReading: 0.5, counts: 2 },
      { quantity: "resistance", percentOfReading: 0.8, counts: 5 },
    ],
  });
  const held = { value: 19.84, resolution: 0.01, spread: 0.005, samples: 4 };
  const dcVolts = { quantity: "voltage", coupling: "dc" } as const;

  test("accuracy statement, repeatability and resolution combine", () => {
    const found = readingUncertainty(held, accuracy, dcVolts)!;
    const meter = (19.84 * 0.005 + 0.02) / Math.sqrt(3);
    expect(found.u).toBeCloseTo(Math.hypot(meter, 0.0025, 0.005 / Math.sqrt(3)), 9);
    expect(found.note).toBeNull();
    expect(found.contributions.map(({ name }) => name)).toEqual([
      "meter",
      "repeatability",
      "resolution",
    ]);
  });

  test("nothing known of the meter: resolution and spread only, and the record says so", () => {
    const found = readingUncertainty(held, null, dcVolts)!;
    expect(found.u).toBeCloseTo(Math.hypot(0.0025, 0.005 / Math.sqrt(3)), 9);
    expect(found.note).toContain("accuracy is not known");
  });

  test("no line for the function: said", () => {
    const found = readingUncertainty(held, accuracy, { quantity: "current", coupling: "dc" })!;
    expect(found.note).toContain("no line");
  });

  test("continuity is measured as ohms, where the table has no line of its own for it", () => {
    const found = readingUncertainty(held, accuracy, { quantity: "continuity", coupling: null })!;
    const ohms = readingUncertainty(held, accuracy, { quantity: "resistance", coupling: null })!;
    expect(found).toEqual(ohms);
  });

  test("cold bench and leads that nulling left widen it", () => {
    const around = { quantity: "resistance", coupling: null } as const;
    const usual = readingUncertainty(held, accuracy, around)!;
    const cold = readingUncertainty(held, accuracy, {
      ...around,
      temperature_degC: 8,
      leadResidual_ohm: 0.1,
    })!;
    expect(cold.u).toBeGreaterThan(usual.u);
    expect(cold.contributions.map(({ name }) => name)).toContain("leads");
  });

  test("a calibration that has run out is said", () => {
    const dated = { ...accuracy, calibrated: "2025-01-31" };
    const on = (date: string) => readingUncertainty(held, dated, { ...dcVolts, date })!.note;
    expect(on("2025-12-01")).toBeNull();
    expect(on("2026-03-01")).toBe(
      "out of calibration: that of Bench meter 3 ran out on 2026-01-31",
    );
  });

  test("overload carries no uncertainty", () => {
    expect(readingUncertainty({ ...held, value: null }, accuracy, dcVolts)).toBeNull();
  });
});
