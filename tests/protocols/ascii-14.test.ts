import { describe, expect, test } from "vitest";
import { createAscii14Decoder } from "../../protocols/ascii-14/decode.js";
import { decodeOne, misreadFigures } from "./fixtures/decode-one.js";
import { asciiFrame } from "./fixtures/meter-frames.js";

const decode = (frame: Uint8Array) => decodeOne(createAscii14Decoder(), frame);

describe("ascii-14", () => {
  test("a frame written by hand is read, and made by the encoder of the tests", () => {
    // "+1794 " point 2, AUTO and DC, nothing, nothing, V, bar graph 0x19, CR LF.
    const frame = Uint8Array.from("2b 31 37 39 34 20 32 30 00 00 80 19 0d 0a".split(" "), (byte) =>
      parseInt(byte, 16),
    );
    expect(asciiFrame("+17.94", "AUTO DC V")).toEqual(frame);
    expect(decode(frame)).toEqual({
      quantity: "voltage",
      coupling: "dc",
      value: 17.94,
      overload: false,
      unit: "V",
      resolution: 0.01,
      flags: ["auto"],
      prefix: "",
    });
  });

  test("every figure in every place, with every point and sign", () => {
    expect(misreadFigures("+", (shown) => decode(asciiFrame(shown, "DC V")))).toEqual([]);
  });

  test.each([
    ["+0.612", "DIODE V DC", { quantity: "diode", coupling: null, value: 0.612 }],
    ["+230.1", "AC V BAR", { coupling: "ac", value: 230.1, flags: ["bar"] }],
    ["-123.4", "m V DC", { value: -0.1234, prefix: "m" }],
    ["+40.00", "u A DC", { quantity: "current", value: 0.00004 }],
    ["+4.700", "OHM k", { quantity: "resistance", value: 4700, coupling: null }],
    ["+000.4", "OHM BEEP", { quantity: "continuity", value: 0.4 }],
    ["+47.00", "F n", { quantity: "capacitance", value: 4.7e-8 }],
    ["+50.00", "Hz k", { quantity: "frequency", value: 50_000 }],
    ["+033.3", "%", { quantity: "duty", value: 33.3 }],
    ["+0120", "HFE", { quantity: "gain", value: 120, unit: "" }],
    ["+0023", "C", { quantity: "temperature", value: 23, unit: "°C" }],
    ["-0004", "DEGF", { quantity: "temperature", value: -4, unit: "°F" }],
    [
      "+12.34",
      "V DC REL HOLD MAX MIN APO BATT",
      { flags: ["relative", "hold", "max", "min", "auto-off", "low-battery"] },
    ],
  ])("%s with %s", (shown, lamps, expected) => {
    expect(decode(asciiFrame(shown, lamps))).toMatchObject(expected);
  });

  test("over range, with the sign where it has a meaning", () => {
    expect(decode(asciiFrame("+?0:?", "V DC", "2"))).toMatchObject({
      value: null,
      overload: "positive",
      resolution: 0.01,
    });
    expect(decode(asciiFrame("-?0:?", "A DC"))).toMatchObject({ overload: "negative" });
    expect(decode(asciiFrame("+?0:?", "OHM M"))).toMatchObject({ overload: true, unit: "Ω" });
  });

  test.each([
    ["+12.34", "V OHM DC", "function"],
    ["+12.34", "AC", "function"],
    ["+12.34", "V k m", "prefix"],
    ["+1?34", "V DC", "digits"],
    ["+?0:0", "V DC", "digits"],
  ])("%s with %s is rejected: %s", (shown, lamps, reason) => {
    expect(decode(asciiFrame(shown, lamps))).toBe(reason);
  });

  test("unused status bits, a wrong point or a missing space make it no frame", () => {
    const frame = asciiFrame("+12.34", "V DC");
    for (const [at, byte] of [
      [7, 0x50],
      [8, 0x01],
      [6, 0x33],
      [5, 0x30],
      [0, 0x20],
      [13, 0x0d],
    ] as const) {
      expect(decode(frame.map((old, n) => (n === at ? byte : old)))).toBe("skipped");
    }
  });
});
