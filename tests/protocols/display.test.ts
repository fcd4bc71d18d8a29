import { describe, expect, test } from "vitest";
import { displayOf } from "../../protocols/display.js";
import type { Quantity, Reading } from "../../protocols/reading.js";
import { unitOf } from "../../protocols/reading.js";

function reading(
  quantity: Quantity,
  value: number | null,
  resolution: number | null,
  more: Partial<Reading> = {},
): Reading {
  const unit = unitOf(quantity);
  return { quantity, coupling: null, value, overload: false, unit, resolution, flags: [], ...more };
}

describe("the display shows what the meter shows", () => {
  test.each([
    [reading("voltage", 17.9, 0.01), "17.90", ""],
    [reading("voltage", -0, 0.001), "-0.000", ""],
    [reading("voltage", 0.0123, 0.00001), "12.30", "m"],
    [reading("voltage", 0.3995, 0.0001), "399.5", "m"],
    [reading("voltage", 0.3995, 0.0001, { prefix: "" }), "0.3995", ""],
    [reading("voltage", 1000, 1), "1000", ""],
    [reading("resistance", 4700, 1), "4.700", "k"],
    [reading("resistance", 0.4, 0.1), "0.4", ""],
    [reading("resistance", 12_340_000, 10_000), "12.34", "M"],
    [reading("capacitance", 4.7e-6, 1e-9), "4.700", "µ"],
    [reading("temperature", 23, 1), "23", ""],
    [reading("voltage", 0.0005, null), "500.000", "µ"],
    [reading("voltage", 0, null), "0.00000", ""],
    [reading("resistance", 1_234_567, null), "1.23457", "M"],
    [reading("voltage", 12.345678, null), "12.3457", ""],
  ])("%o", (shown, digits, prefix) => {
    expect(displayOf(shown)).toEqual({ digits, prefix });
  });

  test("over range is OL, with the minus where the meter has one", () => {
    expect(displayOf(reading("voltage", null, 0.001, { overload: true })).digits).toBe("OL");
    expect(displayOf(reading("voltage", null, null, { overload: "negative" })).digits).toBe("-OL");
  });
});
