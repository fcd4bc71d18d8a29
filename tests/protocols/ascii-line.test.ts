import { describe, expect, test } from "vitest";
import { createAsciiLineDecoder } from "../../protocols/ascii-line/decode.js";
import type { ProtocolOptions } from "../../protocols/protocol.js";

const bytes = (text: string) => new TextEncoder().encode(text);

function decodeLine(line: string, options: ProtocolOptions = {}) {
  const decoder = createAsciiLineDecoder({ first: "keep", ...options });
  const readings = decoder.push(bytes(`${line}\r\n`));
  return readings[0] ?? decoder.stats.rejected;
}

describe("ascii-line", () => {
  test.each([
    ["12.34", { quantity: "unspecified", value: 12.34, resolution: 0.01, unit: "" }],
    ["+12.340 V DC", { quantity: "voltage", coupling: "dc", value: 12.34, resolution: 0.001 }],
    ["DC 12.34mV", { coupling: "dc", value: 0.01234, resolution: 0.00001, prefix: "m" }],
    ["VDC -0.05", { coupling: "dc", value: -0.05, resolution: 0.01 }],
    ["- 1.5 A", { quantity: "current", value: -1.5 }],
    ["VOLT:AC 230.1", { quantity: "voltage", coupling: "ac", value: 230.1 }],
    ["4.700 kOhm AUTO", { quantity: "resistance", value: 4700, resolution: 1, flags: ["auto"] }],
    ["4.7 MOHM", { value: 4_700_000, prefix: "M" }],
    ["4.7 MV", { value: 0.0047, prefix: "m" }],
    ["1.000 µF", { quantity: "capacitance", value: 1e-6, resolution: 1e-9 }],
    ["DIODE 0.612 V", { quantity: "diode", value: 0.612, unit: "V" }],
    ["CONT 0.3 Ω", { quantity: "continuity", value: 0.3, unit: "Ω" }],
    ["23.5 °C", { quantity: "temperature", value: 23.5, unit: "°C" }],
    ["1.2345E-03", { value: 0.0012345, resolution: null }],
    ["+1.5E+00,V,DC,HOLD", { quantity: "voltage", coupling: "dc", value: 1.5, flags: ["hold"] }],
    ["OL MOhm", { quantity: "resistance", value: null, overload: true }],
    [" 0.L Mohm", { value: null, overload: true }],
    ["-OL V", { value: null, overload: "negative" }],
    ["OVERLOAD", { value: null, overload: true }],
    ["+9.9E37", { value: null, overload: "positive" }],
    ["123456789.123456789 Hz", { value: 123456789.12345679 }],
  ])("%s", (line, expected) => {
    expect(decodeLine(line)).toMatchObject(expected);
  });

  test.each([
    ["12,5 V", { decimal: "comma" }, { value: 12.5, unit: "V", resolution: 0.1 }],
    ["12.5", { unit: "mV" }, { quantity: "voltage", value: 0.0125, resolution: 0.0001 }],
    ["12.5", { quantity: "current" }, { quantity: "current", value: 12.5, unit: "A" }],
    ["12.5 HOLD", { unit: "V", coupling: "dc" }, { coupling: "dc", flags: ["hold"], unit: "V" }],
    ["17;12.5;V", { separator: ";", field: "2" }, { value: 12.5, unit: "V" }],
    ["7,4.25,A,11", { separator: "comma", field: "2" }, { value: 4.25, unit: "A" }],
    ["CH1 4.25 A", { words: "any" }, { value: 4.25, unit: "A" }],
  ])("%s with %o", (line, options, expected) => {
    expect(decodeLine(line, options as unknown as ProtocolOptions)).toMatchObject(expected);
  });

  test.each([
    ["12.34 35", "two numbers"],
    ["12.34 zorp", "unknown word"],
    ["hello", "unknown word"],
    ["AUTO", "no number"],
    ["12.3 V A", "words disagree"],
    ["12.3\u0007", "not text"],
  ])("%s is rejected: %s", (line, reason) => {
    expect(decodeLine(line)).toEqual({ [reason]: 1 });
  });

  test("the first line may have lost its front and is dropped", () => {
    const decoder = createAsciiLineDecoder();
    expect(decoder.push(bytes("4.5 V\r\n14.5 V\r\n"))).toMatchObject([{ value: 14.5 }]);
    expect(decoder.stats).toEqual({ frames: 1, skippedBytes: 5, rejected: {} });
  });

  test("a line without end costs no memory and one count a byte", () => {
    const decoder = createAsciiLineDecoder({ first: "keep" });
    decoder.push(new Uint8Array(100_000).fill(0x31));
    expect(decoder.push(bytes("\n1.5 V\n"))).toMatchObject([{ value: 1.5 }]);
    expect(decoder.stats.skippedBytes).toBe(100_000);
  });

  test("says which values an option may have", () => {
    expect(() => createAsciiLineDecoder({ decimal: "dot" })).toThrow("usage/protocol-option");
    expect(() => createAsciiLineDecoder({ unit: "zorp" })).toThrow("usage/protocol-option");
  });
});
