import { describe, expect, test } from "vitest";
import { guessPack } from "../../../workbench/measurement/trade/cells.js";
import { choppedFromAverage, dutyFromRms } from "../../../workbench/measurement/trade/chopped.js";
import {
  awgSection_mm2,
  leadResistance,
  soundLeadMost_ohm,
  windingTemperature,
} from "../../../workbench/measurement/trade/copper.js";
import { nulled } from "../../../workbench/measurement/trade/lead-null.js";
import { motorConstants } from "../../../workbench/measurement/trade/motor.js";
import { stateOfRest } from "../../../workbench/measurement/trade/rest.js";
import {
  ntcByBeta,
  ntcBySteinhartHart,
  ntcResistance,
  pt100Resistance,
  pt100Temperature,
  typeKTemperature,
  typeKVoltage,
} from "../../../workbench/measurement/trade/temperature.js";
import { twoLoadResistance } from "../../../workbench/measurement/sag/resistance.js";
import { theilSen } from "../../../workbench/measurement/fit/theil-sen.js";
import { checkData } from "./check-data.js";
import { Random } from "./random.js";

const exact = (value: number) => ({ value, u: 0 });

describe("copper", () => {
  // AWG 10 to 30, ohms per 1000 ft at 20 °C, as read in a reprint of handbook tables.
  test.each([
    [10, 0.9989],
    [12, 1.588],
    [14, 2.525],
    [16, 4.016],
    [18, 6.385],
    [20, 10.15],
    [22, 16.14],
    [24, 25.67],
    [26, 40.81],
    [28, 64.9],
    [30, 103.2],
  ])("AWG %i measures %d Ω a thousand feet", (gauge, ohms) => {
    expect(leadResistance(304.8, awgSection_mm2(gauge)) / ohms).toBeCloseTo(1, 2);
  });

  test("IEC 60228 class 5, 1.5 mm²: 13.3 Ω/km at 20 °C (read in reprints)", () => {
    expect(soundLeadMost_ohm(1000, 1.5, "flexible")).toBeCloseTo(13.3, 9);
    expect(soundLeadMost_ohm(1000, 1.5, "fixed")).toBeCloseTo(12.1, 9);
    expect(soundLeadMost_ohm(1, 1.4, "fixed")).toBeNull();
    // Correction factor kt at 40 °C 0.926, as read in a maker's reprint of the standard.
    expect(13.3 / soundLeadMost_ohm(1000, 1.5, "flexible", 40)!).toBeCloseTo(0.926, 2);
  });

  test("IEC 60034-1: 1.2 times the resistance from 20 °C is 71 °C (constants from memory)", () => {
    const cold = { resistance: exact(1), temperature_degC: exact(20) };
    expect(windingTemperature(cold, exact(1.2)).value).toBeCloseTo(71, 9);
    const warmer = { resistance: exact(1), temperature_degC: exact(25) };
    expect(windingTemperature(warmer, exact(1.3)).value).toBeCloseTo(103, 9);
    const doubtful = windingTemperature(cold, { value: 1.2, u: 0.01 });
    expect(doubtful.u).toBeCloseTo(2.55, 2);
  });
});

describe("temperature sensors", () => {
  // IEC 60751:2008 Table 1, as read in agreeing reprints.
  test.each([
    [-200, 18.52],
    [-160, 35.54],
    [-100, 60.26],
    [-50, 80.31],
    [0, 100],
    [50, 119.4],
    [100, 138.51],
    [200, 175.86],
    [400, 247.09],
    [600, 313.71],
    [850, 390.48],
  ])("Pt100 at %i °C is %d Ω, both ways", (celsius, ohms) => {
    expect(Math.abs(pt100Resistance(celsius) - ohms)).toBeLessThanOrEqual(0.00501);
    expect(pt100Temperature(pt100Resistance(celsius))).toBeCloseTo(celsius, 6);
  });

  test("Pt100 outside its range is not a number", () => {
    expect(pt100Temperature(10)).toBeNaN();
    expect(pt100Resistance(900)).toBeNaN();
  });

  test("Steinhart–Hart on the usual 10 kΩ curve (coefficients read, resistances from memory)", () => {
    const curve = { a: 0.001129148, b: 0.000234125, c: 8.76741e-8 };
    expect(ntcBySteinhartHart(10_000, curve)).toBeCloseTo(25, 2);
    expect(ntcBySteinhartHart(32_650, curve)).toBeCloseTo(0, 2);
    expect(ntcBySteinhartHart(3603, curve)).toBeCloseTo(49.986, 2);
  });

  // NIST Monograph 175 table, as read; 500 °C and above from memory, recomputed.
  test.each([
    [-200, -5.891],
    [-100, -3.554],
    [-40, -1.527],
    [0, 0],
    [20, 0.798],
    [50, 2.023],
    [100, 4.096],
    [200, 8.138],
    [300, 12.209],
    [500, 20.644],
    [1000, 41.276],
    [1372, 54.886],
  ])("type K at %i °C is %d mV, both ways", (celsius, millivolts) => {
    expect(Math.abs(typeKVoltage(celsius) - millivolts)).toBeLessThan(0.0006);
    expect(typeKTemperature(typeKVoltage(celsius))).toBeCloseTo(celsius, 4);
  });

  test("beta 3950: resistance and temperature are inverse", () => {
    expect(ntcResistance(0, 10_000, 3950)).toBeCloseTo(33_620.6, 0);
    expect(ntcResistance(85, 10_000, 3950)).toBeCloseTo(1086.7, 0);
    expect(ntcByBeta(ntcResistance(-10, 10_000, 3950), 10_000, 3950)).toBeCloseTo(-10, 9);
  });
});

describe("sources", () => {
  test("IEC 61960 two loads: 19.80 V at 0.5 A and 19.50 V at 2.5 A is 0.150 Ω", () => {
    const light = { voltage_V: 19.8, current_A: 0.5, uVoltage_V: 0.003 };
    const heavy = { voltage_V: 19.5, current_A: 2.5, uVoltage_V: 0.004 };
    const found = twoLoadResistance(light, heavy);
    expect(found.value).toBeCloseTo(0.15, 9);
    expect(found.u).toBeCloseTo(0.0025, 9);
    expect(twoLoadResistance(light, light)).toMatchObject({ value: null });
  });

  test.each([
    [18.6, 18, "lithium-ion", 5],
    [13.2, 12, "lithium iron phosphate", 4],
    [15.4, 14.4, "lithium-ion", 4],
    [19.2, 18, "lithium-ion", 5],
    [36.5, 36, "lithium-ion", 10],
  ])(
    "%d V marked %d V: among the first two guesses %s, %i cells",
    (volts, marked, chemistry, cells) => {
      const guesses = guessPack(volts, marked).slice(0, 2);
      expect(guesses).toEqual(
        expect.arrayContaining([expect.objectContaining({ chemistry, cells }) as unknown]),
      );
    },
  );

  test("guesses sum to one, and a voltage that fits nothing has none", () => {
    const sum = guessPack(18.6).reduce((total, { likelihood }) => total + likelihood, 0);
    expect(sum).toBeCloseTo(1, 9);
    expect(guessPack(0.4)).toEqual([]);
  });

  test.each([
    ["at-rest", 0],
    ["after-charge", 0.15],
    ["after-load", -0.15],
  ])("%s", (state, excess) => {
    const random = new Random(1);
    const t = Float64Array.from({ length: 180 }, (_, k) => k / 3);
    const v = t.map((x) => {
      const true_V = 19.6 + excess * Math.exp(-x / 40);
      return Math.round(1000 * (true_V + 0.0003 * random.normal())) / 1000;
    });
    const found = stateOfRest(t, v, 0.001);
    expect(found.state).toBe(state);
    if (excess !== 0) expect(found.settles_V).toBeCloseTo(19.6, 1);
  });
});

describe("motors", () => {
  test("efficiency and stall (standard text results): 18 V, 0.3 Ω, 1.5 A, 60 A stall", () => {
    const found = motorConstants({
      supply_V: exact(18),
      resistance_ohm: exact(0.3),
      noLoadCurrent_A: exact(1.5),
      noLoadSpeed_rad_s: exact(1900),
    });
    expect(found.stallCurrent_A.value).toBeCloseTo(60, 9);
    // (1 − √(1.5/60))² = 0.708772.
    expect(found.bestEfficiency.value).toBeCloseTo(0.708772, 6);
    expect(found.stallTorque_N_m.value).toBeCloseTo(found.emfConstant.value * 60, 9);
  });

  test("textbook motor: 120 V, 10 Ω, 5 A running has a back-emf of 70 V (from memory)", () => {
    const found = motorConstants({
      supply_V: exact(120),
      resistance_ohm: exact(10),
      noLoadCurrent_A: exact(5),
      noLoadSpeed_rad_s: exact(1),
    });
    expect(found.emfConstant.value).toBeCloseTo(70, 9);
    expect(found.stallCurrent_A.value).toBeCloseTo(12, 9);
  });

  test("a chopped supply: average, r.m.s. and duty agree", () => {
    const { duty, rms_V, acRms_V } = choppedFromAverage(4.5, 18);
    expect(duty).toBeCloseTo(0.25, 9);
    expect(rms_V).toBeCloseTo(9, 9);
    expect(acRms_V ** 2 + 4.5 ** 2).toBeCloseTo(rms_V ** 2, 9);
    expect(dutyFromRms(9, 18)).toBeCloseTo(0.25, 9);
  });
});

describe("Theil–Sen", () => {
  interface Trend {
    readonly epa17_6: {
      readonly x_samplingDate: readonly number[];
      readonly y_sulfate_ppm: readonly number[];
      readonly expected: { readonly slope: number; readonly intercept: number };
    };
  }
  const data = checkData("trend.json") as Trend | null;

  test.skipIf(data === null)(
    "USEPA Unified Guidance 2009, Example 17-6 (data and result read)",
    () => {
      const { x_samplingDate: x, y_sulfate_ppm: y, expected } = data!.epa17_6;
      const { slope, intercept } = theilSen(x, y);
      expect(slope).toBeCloseTo(expected.slope, 6);
      expect(intercept).toBeCloseTo(expected.intercept, 4);
    },
  );

  test("Hollander, Wolfe and Chicken, Example 9.1: slope −0.056 (data read, result from memory)", () => {
    const { slope } = theilSen([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03]);
    expect(slope).toBeCloseTo(-0.05625, 9);
  });
});

describe("lead null", () => {
  test("takes the leads off, with the scatter of touching them", () => {
    const { value, u } = nulled(1.5, { together_ohm: [0.2, 0.3, 0.2], resolution_ohm: 0.1 });
    expect(value).toBeCloseTo(1.2667, 3);
    expect(u).toBeGreaterThan(0.05);
  });

  test("a little below zero is zero", () => {
    expect(nulled(0.1, { together_ohm: [0.2], resolution_ohm: 0.1 }).value).toBe(0);
  });
});
