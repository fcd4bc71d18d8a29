import { describe, expect, test } from "vitest";
import { nibbleDecoders } from "../../protocols/nibble/decode.js";
import { NIBBLE_11 } from "../../protocols/nibble/nibble-11.js";
import { NIBBLE_14 } from "../../protocols/nibble/nibble-14.js";
import { decodeOne } from "./fixtures/decode-one.js";
import { nibbleFrame } from "./fixtures/meter-frames.js";
import type { Delivery } from "./fixtures/meter-frames.js";

type Parts = Parameters<typeof nibbleFrame>[0];

const createFour = nibbleDecoders(NIBBLE_11);
const createFive = nibbleDecoders(NIBBLE_14);

const decode = (frame: Uint8Array) =>
  decodeOne(frame.length === 11 ? createFour() : createFive(), frame);

/** Volts, direct, automatic. */
const FOUR: Parts = { range: 1, figures: "1794", dial: ";", status: 0, options: [0, 8 + 2] };
const FIVE: Parts = { range: 1, figures: "17942", dial: ";", status: 0, options: [0, 0, 10, 0] };

describe("nibble-11 and nibble-14", () => {
  test("frames written by hand are read, and made by the encoder of the tests", () => {
    const four = Buffer.from("11794;00:\r\n");
    expect(Buffer.from(nibbleFrame(FOUR))).toEqual(four);
    expect(decode(four)).toEqual({
      quantity: "voltage",
      coupling: "dc",
      value: 17.94,
      overload: false,
      unit: "V",
      resolution: 0.01,
      flags: ["auto"],
      prefix: "",
    });
    const five = Buffer.from("117942;000:0\r\n");
    expect(Buffer.from(nibbleFrame(FIVE))).toEqual(five);
    expect(decode(five)).toMatchObject({ value: 17.942, resolution: 0.001, flags: ["auto"] });
  });

  test("the parity bit may be delivered: 0x30 is B0, 0x31 is 31, CR is 0D, LF is 8A", () => {
    const frame = nibbleFrame(FIVE, "8 bits");
    expect(Buffer.from(frame).toString("hex")).toBe("313137b934323bb0b0b0bab00d8a");
    expect(decode(frame)).toMatchObject({ value: 17.942 });
  });

  test("a wrong parity bit, or parity on some bytes only, is no reading", () => {
    const whole = nibbleFrame(FIVE, "8 bits");
    for (let at = 0; at < whole.length; at++) {
      expect(decode(whole.map((byte, n) => (n === at ? byte ^ 0x80 : byte)))).toBeTypeOf("string");
    }
    const bare = nibbleFrame(FIVE);
    for (let at = 0; at < bare.length; at++) {
      expect(decode(bare.map((byte, n) => (n === at ? byte ^ 0x80 : byte)))).toBeTypeOf("string");
    }
  });

  test.each(["7 bits", "8 bits"] satisfies Delivery[])("every count, over %s", (delivery) => {
    const wrong: string[] = [];
    const check = (frame: Uint8Array, expected: number) => {
      const reading = decode(frame);
      if (typeof reading === "string" || !Object.is(reading.value, expected)) {
        wrong.push(Buffer.from(frame).toString("hex"));
      }
    };
    for (let counts = 0; counts <= 9999; counts++) {
      const figures = String(counts).padStart(4, "0");
      const status = counts % 2 === 0 ? 0 : 4;
      const sign = status === 4 ? "-" : "";
      check(nibbleFrame({ ...FOUR, figures, status }, delivery), Number(`${sign}${counts}e-2`));
      const five = `${counts % 3}${figures}`;
      check(nibbleFrame({ ...FIVE, figures: five, status }, delivery), Number(`${sign}${five}e-3`));
    }
    expect(wrong).toEqual([]);
  });

  test("every range of every position of the dial shows its own full scale", () => {
    // The dial of the chips as a maker would print it, by function letter and range.
    const printed: Record<string, string> = {
      ";": "2.2000 22.000 220.00 2200.0 220.00m",
      "=": "220.00µ 2200.0µ",
      "?": "22.000m 220.00m",
      "0": "22.000",
      "9": "2.2000 22.000 220.00",
      "3": "220.00 2.2000k 22.000k 220.00k 2.2000M 22.000M 220.00M",
      "5": "220.00",
      "1": "2.2000",
      "2": "22.000 220.00 none 22.000k 220.00k 2.2000M 22.000M 220.00M",
      "6": "22.000n 220.00n 2.2000µ 22.000µ 220.00µ 2.2000m 22.000m 220.00m",
      "4": "2200.0",
    };
    const powers: Record<string, number> = { n: -9, µ: -6, m: -3, k: 3, M: 6 };
    for (const [dial, ranges] of Object.entries(printed)) {
      for (const [range, fullScale] of ranges.split(" ").entries()) {
        const power = powers[fullScale.at(-1)!] ?? 0;
        const digits = fullScale.replace(/[a-zµM]/g, "");
        const frame = nibbleFrame({ ...FIVE, dial, range, figures: "12345", status: 8 });
        if (fullScale === "none") expect(decode(frame)).toBe("range");
        else {
          const behind = digits.length - 1 - digits.indexOf(".");
          expect(decode(frame)).toMatchObject({
            value: Number(`12345e${power - behind}`),
            resolution: Number(`1e${power - behind}`),
          });
        }
      }
    }
  });

  test.each([
    [
      { ...FOUR, range: 4 },
      { value: 0.1794, prefix: "m" },
    ],
    [
      { ...FOUR, options: [0, 4] },
      { coupling: "ac", flags: [] },
    ],
    [{ ...FOUR, options: [0, 12] }, { coupling: "ac+dc" }],
    [
      { ...FOUR, dial: "=", range: 0 },
      { quantity: "current", value: 0.0001794, prefix: "µ" },
    ],
    [
      { ...FOUR, dial: "9", range: 1 },
      { quantity: "current", value: 0.1794, prefix: "m" },
    ],
    [
      { ...FOUR, dial: "?", range: 1 },
      { quantity: "current", value: 17.94 },
    ],
    [
      { ...FOUR, dial: "3", range: 4 },
      { quantity: "resistance", value: 1_794_000, unit: "Ω" },
    ],
    [
      { ...FOUR, dial: "5", range: 0 },
      { quantity: "continuity", value: 179.4, coupling: null },
    ],
    [
      { ...FOUR, dial: "1", range: 0 },
      { quantity: "diode", value: 1.794, unit: "V" },
    ],
    [
      { ...FOUR, dial: "2", range: 2, status: 8 },
      { quantity: "frequency", value: 1794 },
    ],
    [
      { ...FOUR, dial: "2", range: 0 },
      { quantity: "duty", value: 179.4, unit: "%" },
    ],
    [
      { ...FOUR, dial: "6", range: 3 },
      { quantity: "capacitance", value: 1.794e-6 },
    ],
    [
      { ...FOUR, dial: "4", range: 0, status: 8 },
      { quantity: "temperature", unit: "°C" },
    ],
    [
      { ...FOUR, dial: "4", range: 0 },
      { quantity: "temperature", value: 1794, unit: "°F" },
    ],
    [{ ...FOUR, status: 2 }, { flags: ["auto", "low-battery"] }],
    [{ ...FOUR, options: [15, 9] }, { flags: ["auto-off", "max", "min", "hold", "relative"] }],
    [
      { ...FIVE, options: [14, 4, 11, 6] },
      {
        flags: ["auto", "auto-off", "max", "min", "relative", "peak", "bar", "hold"],
      },
    ],
    [
      { ...FOUR, status: 1 },
      { value: null, overload: "positive", resolution: 0.01 },
    ],
    [
      { ...FOUR, status: 5 },
      { value: null, overload: "negative" },
    ],
    [
      { ...FIVE, dial: "3", status: 1 },
      { value: null, overload: true, unit: "Ω" },
    ],
  ])("%o", (parts, expected) => {
    expect(decode(nibbleFrame(parts))).toMatchObject(expected);
    expect(decode(nibbleFrame(parts, "8 bits"))).toMatchObject(expected);
  });

  test.each([
    [{ ...FOUR, dial: "<" }, "function"],
    [{ ...FOUR, range: 5 }, "range"],
    [{ ...FIVE, options: [0, 8, 8, 0] }, "under range"],
    [{ ...FOUR, figures: "17:4" }, "skipped"],
  ])("%o is rejected: %s", (parts, reason) => {
    expect(decode(nibbleFrame(parts))).toBe(reason);
  });
});
