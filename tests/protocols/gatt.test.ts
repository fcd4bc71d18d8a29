import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { ProtocolOptions } from "../../protocols/protocol.js";
import { createGattDecoder } from "../../protocols/gatt/decode.js";

const hex = (text: string) => Uint8Array.from(Buffer.from(text, "hex"));

function decode(bytes: string, options: ProtocolOptions) {
  const decoder = createGattDecoder(options);
  return decoder.push(hex(bytes))[0] ?? Object.keys(decoder.stats.rejected)[0];
}

const presentation = (format: string, exponent: string, unit: string) => ({
  presentation: `${format}${exponent}${unit}010000`,
});

describe("gatt", () => {
  // Scales of 0x2B18 and 0x2AEE as the Bluetooth SIG publishes them; the codes are from memory.
  test.each([
    ["8004", "2b18", { quantity: "voltage", unit: "V", value: 18, resolution: 1 / 64 }],
    ["0100", "0x2B18", { value: 0.015625 }],
    ["800405", "2ae1", { value: 18 }],
    ["d204", "2aee", { quantity: "current", unit: "A", value: 12.34, resolution: 0.01 }],
    ["c409", "2a6e", { quantity: "temperature", unit: "°C", value: 25 }],
    ["18fc", "2a6e", { value: -10 }],
    ["e80300", "2be0", { quantity: "voltage", value: 1000, resolution: 1 }],
    ["0f2700", "2b05", { quantity: "power", unit: "W", value: 999.9 }],
  ])("%s of %s", (bytes, notify, expected) => {
    expect(decode(bytes, { notify })).toMatchObject(expected);
  });

  test.each([
    ["ffff", "2b18"],
    ["ffff", "2aee"],
    ["0080", "2a6e"],
    ["ffffff", "2be0"],
  ])("%s of %s says that the value is not known", (bytes, notify) => {
    expect(decode(bytes, { notify })).toBe("not known");
  });

  test.each([
    ["06", "fe", "2827", "d204", { value: 12.34, unit: "V", resolution: 0.01 }],
    ["0e", "fd", "2a27", "faff", { value: -0.006, unit: "Ω", quantity: "resistance" }],
    ["04", "00", "ad27", "32", { value: 50, unit: "%", quantity: "duty" }],
    ["07", "00", "2227", "a08601", { value: 100_000, unit: "Hz" }],
    ["10", "f7", "2927", "30f8ffff", { value: -2e-6, unit: "F" }],
    ["14", "00", "0427", "0000c03f", { value: 1.5, resolution: null, unit: "A" }],
    ["15", "00", "2827", "000000000000f8bf", { value: -1.5 }],
    ["16", "00", "2827", "72f0", { value: 11.4, resolution: 0.1 }],
    ["16", "00", "2827", "d2e4", { value: 12.34 }],
    ["16", "00", "2827", "6400", { value: 100 }],
    ["16", "00", "2827", "fe07", { value: null, overload: "positive" }],
    ["16", "00", "2827", "0208", { value: null, overload: "negative" }],
    ["17", "00", "2827", "6c0000ff", { value: 10.8 }],
  ])("format %s, exponent %s, unit %s: %s", (format, exponent, unit, bytes, expected) => {
    expect(decode(bytes, presentation(format, exponent, unit))).toMatchObject(expected);
  });

  test.each(["ff07", "0008", "0108"])("the medfloat %s is no number", (bytes) => {
    expect(decode(bytes, presentation("16", "00", "2827"))).toBe("not a number");
  });

  test("the coupling comes from the address", () => {
    expect(decode("8004", { notify: "2b18" })).toMatchObject({ coupling: null });
    expect(decode("8004", { notify: "2b18", coupling: "dc" })).toMatchObject({ coupling: "dc" });
  });

  test("says which characteristics it knows", () => {
    expect(() => createGattDecoder({})).toThrow(/2b18.*usage\/protocol-option/);
    expect(() => createGattDecoder({ presentation: "06fe" })).toThrow("usage/protocol-option");
  });

  const folder =
    process.env["LEADHAND_CHECK_DATA"] ??
    join(import.meta.dirname, "..", "..", "..", "shared", "check-data");
  const file = join(folder, "gatt.json");
  const isThere = existsSync(file);
  if (!isThere) console.log(`skipped: no published check values at ${folder}`);

  test.skipIf(!isThere)("agrees with the published encodings", () => {
    const data = JSON.parse(readFileSync(file, "utf8")) as CheckData;
    const { voltage, current, temperature } = data.encodings;
    const known = { "2b18": voltage, "2aee": current, "2a6e": temperature };
    for (const [notify, { cases }] of Object.entries(known)) {
      for (const [bytes, value] of cases) {
        const decoded = decode(bytes, { notify });
        expect(typeof decoded === "object" ? decoded.value : decoded).toBe(value ?? "not known");
      }
    }
    for (const { desc, raw, value } of data.presentationFormat.cases) {
      expect(decode(raw, { presentation: desc })).toMatchObject({ value });
    }
  });
});

interface CheckData {
  readonly encodings: Readonly<
    Record<
      "voltage" | "current" | "temperature",
      { readonly cases: readonly (readonly [string, number | null])[] }
    >
  >;
  readonly presentationFormat: {
    readonly cases: readonly {
      readonly desc: string;
      readonly raw: string;
      readonly value: number;
    }[];
  };
}
