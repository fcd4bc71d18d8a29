import { describe, expect, it } from "vitest";
import { wireOf } from "../../../drivers/practice/meter/wire.js";
import { findProtocol } from "../../../protocols/registry.js";
import type { Display } from "../../../protocols/segment-14/encode.js";

const VOLTS: Display = {
  quantity: "voltage",
  coupling: "dc",
  prefix: "",
  counts: 2061,
  decimals: 2,
  negative: false,
  flags: ["auto"],
};
const OHMS: Display = { ...VOLTS, quantity: "resistance", coupling: null, counts: 2, decimals: 1 };

const DISPLAYS: readonly Display[] = [
  VOLTS,
  { ...VOLTS, counts: -5, decimals: 3 },
  { ...VOLTS, counts: 0, flags: ["auto", "hold"] },
  { ...VOLTS, coupling: "ac", counts: 230, decimals: 0 },
  { ...VOLTS, counts: "overload", negative: true },
  OHMS,
  { ...OHMS, prefix: "k", counts: 1234, decimals: 3 },
  { ...OHMS, prefix: "M", counts: "overload", decimals: 2 },
  { ...OHMS, quantity: "continuity", flags: ["beep"] },
  { ...OHMS, quantity: "diode", counts: 512, decimals: 3, flags: [] },
];

function decoded(protocol: string, display: Display) {
  const decoder = findProtocol(protocol).createDecoder();
  const bytes = wireOf(protocol).encode(display);
  // Whoever listens to lines drops the first, which may be the tail of one.
  if (protocol === "ascii-line") decoder.push(bytes);
  const [reading] = decoder.push(bytes);
  return reading;
}

describe("what the practice meter sends", () => {
  it.each(DISPLAYS)("means the same in text as in segments: %j", (display) => {
    const segments = decoded("segment-14", display)!;
    const text = decoded("ascii-line", display)!;
    expect(text.value).toBe(segments.value);
    expect(text.quantity).toBe(segments.quantity);
    expect(text.coupling).toBe(segments.coupling);
    expect(text.unit).toBe(segments.unit);
    expect(text.overload === false).toBe(segments.overload === false);
    expect(text.flags.filter((flag) => flag !== "beep")).toEqual(
      segments.flags.filter((flag) => flag !== "beep"),
    );
  });

  it.each(["segment-14", "ascii-line"])("is never longer than %s says", (protocol) => {
    const wire = wireOf(protocol);
    for (const display of DISPLAYS) {
      expect(wire.encode(display).length).toBeLessThanOrEqual(wire.longest);
    }
  });
});
