import { describe, expect, test } from "vitest";
import { leadResistance, soundLeadMost_ohm } from "../../../workbench/measurement/trade/copper.js";
import {
  ntcByBeta,
  ntcBySteinhartHart,
  pt100Resistance,
  pt100Temperature,
  typeKTemperature,
  typeKVoltage,
} from "../../../workbench/measurement/trade/temperature.js";
import { checkData } from "./check-data.js";

/** Whole published tables, where they are at hand; single figures of them are in trade.test.ts. */

interface Copper {
  readonly iec60228: Readonly<Record<"mm2" | "class1" | "class2" | "class5", number[]>>;
  readonly iec60228_kt: { readonly t: number[]; readonly kt: number[] };
}

const copper = checkData("copper.json") as Copper | null;

describe.skipIf(copper === null)("IEC 60228:2004, as read in agreeing reprints", () => {
  test("most resistance of classes 1, 2 and 5, 0.5 to 16 mm²", () => {
    const { mm2, class1, class2, class5 } = copper!.iec60228;
    mm2.forEach((section, k) => {
      expect(soundLeadMost_ohm(1000, section, "fixed")).toBeCloseTo(class1[k]!, 9);
      expect(soundLeadMost_ohm(1000, section, "fixed")).toBeCloseTo(class2[k]!, 9);
      expect(soundLeadMost_ohm(1000, section, "flexible")).toBeCloseTo(class5[k]!, 9);
    });
  });

  test("an ideal lead is below the limit of its section, and no more than 5 % below", () => {
    const { mm2, class1 } = copper!.iec60228;
    mm2.forEach((section, k) => {
      const share = leadResistance(1000, section) / class1[k]!;
      expect(share).toBeLessThan(1);
      expect(share).toBeGreaterThan(0.93);
    });
  });

  test("correction to 20 °C, 5 to 100 °C (printed to three figures)", () => {
    const { t, kt } = copper!.iec60228_kt;
    t.forEach((celsius, k) => {
      const found = leadResistance(1, 1) / leadResistance(1, 1, celsius);
      expect(Math.abs(found - kt[k]!)).toBeLessThan(0.004);
    });
  });
});

interface Temperature {
  readonly pt100: { readonly ohms: Readonly<Record<string, number>> };
  readonly typeK: {
    readonly inverse_0_20p644mV: number[];
    readonly inverse_20p644_54p886: number[];
  };
  readonly ntc: {
    readonly steinhartHart: {
      readonly A: number;
      readonly B: number;
      readonly C: number;
      readonly cases_R_tC: [number, number][];
    };
    readonly beta: { readonly R25: number; readonly B: number; readonly R: [number, number][] };
  };
}

const temperature = checkData("temperature.json") as Temperature | null;

describe.skipIf(temperature === null)("temperature sensors", () => {
  test("Pt100, IEC 60751:2008 Table 1, every ten degrees: to half of its last digit", () => {
    for (const [celsius, ohms] of Object.entries(temperature!.pt100.ohms)) {
      expect(Math.abs(pt100Resistance(Number(celsius)) - ohms)).toBeLessThanOrEqual(0.00501);
      expect(Math.abs(pt100Temperature(ohms) - Number(celsius))).toBeLessThan(0.02);
    }
  });

  // Monograph 175 states that its inverse is off by -0.05 to 0.04 °C to 500 °C, by up to 0.06 above.
  test("type K against NIST's own inverse polynomials, 0 to 1372 °C", () => {
    const inverse = (mV: number) => {
      const { inverse_0_20p644mV, inverse_20p644_54p886 } = temperature!.typeK;
      const of = mV <= 20.644 ? inverse_0_20p644mV : inverse_20p644_54p886;
      return of.reduceRight((sum, c) => sum * mV + c, 0);
    };
    for (let celsius = 0; celsius <= 1372; celsius += 7) {
      const mV = typeKVoltage(celsius);
      expect(Math.abs(inverse(mV) - celsius)).toBeLessThan(0.07);
      expect(typeKTemperature(mV)).toBeCloseTo(celsius, 4);
    }
  });

  test("Steinhart and Hart, and beta (IEC 60539-1)", () => {
    const { A, B, C, cases_R_tC } = temperature!.ntc.steinhartHart;
    for (const [ohm, celsius] of cases_R_tC) {
      expect(Math.abs(ntcBySteinhartHart(ohm, { a: A, b: B, c: C }) - celsius)).toBeLessThan(0.002);
    }
    const { R25, B: beta, R } = temperature!.ntc.beta;
    for (const [celsius, ohm] of R) expect(ntcByBeta(ohm, R25, beta)).toBeCloseTo(celsius, 2);
  });
});
