import { describe, expect, test } from "vitest";
import { createSegment14Decoder } from "../../protocols/segment-14/decode.js";
import { encodeSegment14 } from "../../protocols/segment-14/encode.js";

/** Written out by hand from the tables of the data sheet's class, not by the product's encoder. */
const MINUS_12_34_V_DC_AUTO = "17 28 35 45 5b 69 7f 82 97 a0 b0 c0 d4 e0";
const hex = (text: string) => Uint8Array.from(text.split(" "), (byte) => parseInt(byte, 16));

describe("segment-14", () => {
  test("reads a frame written by hand", () => {
    // Digits "1234": 05 5B 1F 27; minus on byte 2, point in front of digit 3 on byte 6.
    const frame = hex("17 28 35 45 5b 69 7f 82 97 a0 b0 c0 d4 e0");
    expect(createSegment14Decoder().push(frame)).toEqual([
      {
        quantity: "voltage",
        coupling: "dc",
        value: -12.34,
        overload: false,
        unit: "V",
        resolution: 0.01,
        flags: ["auto"],
        prefix: "",
      },
    ]);
  });

  test("the simulated meter's frame is the one written by hand", () => {
    const frame = encodeSegment14({
      quantity: "voltage",
      coupling: "dc",
      prefix: "",
      counts: -1234,
      decimals: 2,
      flags: ["auto"],
    });
    expect(Buffer.from(frame).toString("hex")).toBe(MINUS_12_34_V_DC_AUTO.replaceAll(" ", ""));
  });

  test("falls into step inside a damaged stream and counts what it skipped", () => {
    const frame = hex(MINUS_12_34_V_DC_AUTO);
    const decoder = createSegment14Decoder();
    const damaged = [...frame.slice(3), 0xff, ...frame.slice(0, 5), ...frame, ...frame.slice(0, 2)];
    const readings = damaged.flatMap((byte) => [...decoder.push(Uint8Array.of(byte))]);
    expect(readings).toHaveLength(1);
    expect(decoder.stats).toEqual({ frames: 1, skippedBytes: 11 + 1 + 5, rejected: {} });
  });
});
