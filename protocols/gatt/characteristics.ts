/**
 * Bluetooth SIG numbers. Those of the characteristics and of volt, ohm, farad, Celsius and
 * percentage are from the SIG's public lists (Assigned Numbers); ampere, hertz, watt, Fahrenheit,
 * the codes for "not known", the layout of 0x2904 and the medfloats are from memory. A correction
 * is one line here.
 */
import type { Quantity, Unit } from "../reading.js";
import type { NumberFormat } from "./number-format.js";

/** A characteristic that is one number with a fixed meaning. */
export interface FixedMeaning {
  readonly quantity: Quantity;
  readonly unit: Unit;
  readonly format: NumberFormat;
  /** The value of one count. */
  readonly count: { readonly exponent: number } | { readonly divisor: number };
  /** The raw number that says "not known". */
  readonly notKnown: number;
  /** Bytes behind the number that are not part of it: the averaging time. */
  readonly more?: number;
}

const VOLT_64 = {
  quantity: "voltage",
  unit: "V",
  format: "uint16",
  count: { divisor: 64 },
} as const;
const CENTIAMPERE = {
  quantity: "current",
  unit: "A",
  format: "uint16",
  count: { exponent: -2 },
} as const;

export const CHARACTERISTICS: Readonly<Record<string, FixedMeaning>> = {
  "2b18": { ...VOLT_64, notKnown: 0xffff },
  "2ae1": { ...VOLT_64, notKnown: 0xffff, more: 1 },
  "2aee": { ...CENTIAMPERE, notKnown: 0xffff },
  "2ae0": { ...CENTIAMPERE, notKnown: 0xffff, more: 1 },
  "2be0": {
    quantity: "voltage",
    unit: "V",
    format: "uint24",
    count: { exponent: 0 },
    notKnown: 0xffffff,
  },
  "2b05": {
    quantity: "power",
    unit: "W",
    format: "uint24",
    count: { exponent: -1 },
    notKnown: 0xffffff,
  },
  "2a6e": {
    quantity: "temperature",
    unit: "°C",
    format: "sint16",
    count: { exponent: -2 },
    notKnown: -0x8000,
  },
};

/** Units of the presentation format, and the quantity that each implies. */
export const UNIT_NUMBERS: Readonly<Record<number, readonly [Quantity, Unit]>> = {
  0x2700: ["unspecified", ""],
  0x2704: ["current", "A"],
  0x2722: ["frequency", "Hz"],
  0x2726: ["power", "W"],
  0x2728: ["voltage", "V"],
  0x2729: ["capacitance", "F"],
  0x272a: ["resistance", "Ω"],
  0x272f: ["temperature", "°C"],
  0x27ac: ["temperature", "°F"],
  0x27ad: ["duty", "%"],
};

/** Formats of the presentation format. */
export const FORMAT_NUMBERS: Readonly<Record<number, NumberFormat>> = {
  0x04: "uint8",
  0x06: "uint16",
  0x07: "uint24",
  0x08: "uint32",
  0x0c: "sint8",
  0x0e: "sint16",
  0x0f: "sint24",
  0x10: "sint32",
  0x14: "float32",
  0x15: "float64",
  0x16: "medfloat16",
  0x17: "medfloat32",
};
