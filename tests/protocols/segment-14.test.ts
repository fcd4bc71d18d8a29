import { describe, expect, test } from "vitest";
import { createSegment14Decoder } from "../../protocols/segment-14/decode.js";
import { encodeSegment14 } from "../../protocols/segment-14/encode.js";
import { prefixExponent } from "../../protocols/reading.js";
import { decodeOne, misreadFigures } from "./fixtures/decode-one.js";
import { segmentFrame } from "./fixtures/meter-frames.js";

const decode = (frame: Uint8Array) => decodeOne(createSegment14Decoder(), frame);

/** Written out by hand: figures "1234" are 05 5B 1F 27; minus on byte 2, point on byte 6. */
const MINUS_12_34_V = Uint8Array.from(
  "17 28 35 45 5b 69 7f 82 97 a0 b0 c0 d4 e0".split(" "),
  (byte) => parseInt(byte, 16),
);

describe("segment-14", () => {
  test("a frame written by hand is read, and made by both encoders", () => {
    expect(decode(MINUS_12_34_V)).toEqual({
      quantity: "voltage",
      coupling: "dc",
      value: -12.34,
      overload: false,
      unit: "V",
      resolution: 0.01,
      flags: ["auto"],
      prefix: "",
    });
    expect(segmentFrame("-12.34", "SEND AUTO DC V")).toEqual(MINUS_12_34_V);
    const display = { quantity: "voltage", coupling: "dc", prefix: "", decimals: 2 } as const;
    expect(encodeSegment14({ ...display, counts: -1234, flags: ["auto"] })).toEqual(MINUS_12_34_V);
  });

  test("every figure in every place, with every point and sign", () => {
    expect(misreadFigures("", (shown) => decode(segmentFrame(shown, "SEND DC V")))).toEqual([]);
  });

  test.each([
    ["0.612", "DIODE V DC", { quantity: "diode", coupling: null, value: 0.612, unit: "V" }],
    ["230.1", "AC V AUTO", { quantity: "voltage", coupling: "ac", value: 230.1 }],
    ["12.00", "AC DC V", { coupling: "ac+dc", value: 12 }],
    ["123.4", "m V DC", { value: 0.1234, resolution: 0.0001, prefix: "m" }],
    ["-0.000", "V DC", { value: -0 }],
    ["  1.5", "V DC", { value: 1.5 }],
    ["40.00", "u A DC", { quantity: "current", value: 0.00004, unit: "A", prefix: "µ" }],
    ["4.700", "OHM k AUTO", { quantity: "resistance", value: 4700, coupling: null, unit: "Ω" }],
    ["1.000", "OHM M", { value: 1_000_000 }],
    ["000.4", "OHM BEEP", { quantity: "continuity", value: 0.4, flags: ["beep"] }],
    ["47.00", "F n", { quantity: "capacitance", value: 4.7e-8, resolution: 1e-11 }],
    ["50.00", "Hz", { quantity: "frequency", value: 50 }],
    ["033.3", "%", { quantity: "duty", value: 33.3, unit: "%" }],
    ["0023", "C", { quantity: "temperature", value: 23, unit: "°C" }],
    ["0073", "DEGF", { quantity: "temperature", value: 73, unit: "°F" }],
    ["12.34", "V DC HOLD REL BATT", { flags: ["hold", "relative", "low-battery"] }],
    [" 0.L ", "OHM M", { value: null, overload: true, resolution: 10_000 }],
    ["- 0L ", "V DC", { value: null, overload: "negative", resolution: null }],
  ])("%s with %s", (shown, lamps, expected) => {
    expect(decode(segmentFrame(shown, lamps))).toMatchObject(expected);
  });

  test.each([
    ["12.34", "V A DC", "function"],
    ["12.34", "DC", "function"],
    ["12.34", "V k M", "prefix"],
    ["12.34", "V k", "prefix"],
    ["    ", "V DC", "blank"],
    ["12 4", "V DC", "digits"],
    ["1L 4", "V DC", "digits"],
  ])("%s with %s is rejected: %s", (shown, lamps, reason) => {
    expect(decode(segmentFrame(shown, lamps))).toBe(reason);
  });

  test("segments that are no figure, and two points, are rejected", () => {
    const frame = segmentFrame("12.34", "V DC");
    expect(decode(frame.map((byte, n) => (n === 2 ? 0x32 : byte)))).toBe("segments");
    expect(decode(frame.map((byte, n) => (n === 3 ? byte | 8 : byte)))).toBe("points");
  });

  test("the encoder of the practice bench says everything the decoder understands", () => {
    const cases = [
      { quantity: "resistance", prefix: "M", decimals: 3 },
      { quantity: "continuity", prefix: "", decimals: 1 },
      { quantity: "diode", prefix: "", decimals: 3 },
      { quantity: "capacitance", prefix: "µ", decimals: 2 },
      { quantity: "frequency", prefix: "k", decimals: 0 },
    ] as const;
    for (const { quantity, prefix, decimals } of cases) {
      const frame = encodeSegment14({
        quantity,
        prefix,
        decimals,
        coupling: null,
        counts: 1234,
        flags: ["hold", "relative", "low-battery", "auto"],
      });
      const value = Number(`1234e${prefixExponent(prefix) - decimals}`);
      expect(decode(frame)).toMatchObject({ quantity, prefix, value });
    }
  });

  test("the encoder refuses what four digits cannot show", () => {
    const display = { quantity: "voltage", coupling: "dc", prefix: "", flags: [] } as const;
    expect(() => encodeSegment14({ ...display, counts: 10_000, decimals: 0 })).toThrow(RangeError);
    expect(() => encodeSegment14({ ...display, counts: 1, decimals: 4 })).toThrow(RangeError);
    expect(() => encodeSegment14({ ...display, counts: 1, decimals: 0, quantity: "gain" })).toThrow(
      RangeError,
    );
  });

  test("falls into step inside a damaged stream and counts what it skipped", () => {
    const frame = MINUS_12_34_V;
    const decoder = createSegment14Decoder();
    const damaged = [...frame.slice(3), 0xff, ...frame.slice(0, 5), ...frame, ...frame.slice(0, 2)];
    const readings = damaged.flatMap((byte) => [...decoder.push(Uint8Array.of(byte))]);
    expect(readings).toHaveLength(1);
    expect(decoder.stats).toEqual({ frames: 1, skippedBytes: 11 + 1 + 5, rejected: {} });
  });
});
