import { COUPLINGS } from "../reading.js";
import type { Coupling, Quantity, Unit } from "../reading.js";
import type { ProtocolOptions } from "../protocol.js";
import { badOption, choice } from "../text/options.js";
import { CHARACTERISTICS, FORMAT_NUMBERS, UNIT_NUMBERS } from "./characteristics.js";
import type { NumberFormat } from "./number-format.js";

export const GATT_OPTION_NAMES = ["notify", "presentation", "coupling"] as const;

/** What the bytes of one characteristic mean. */
export interface Meaning {
  readonly quantity: Quantity;
  readonly unit: Unit;
  readonly coupling: Coupling | null;
  readonly format: NumberFormat;
  readonly count: { readonly exponent: number } | { readonly divisor: number };
  readonly notKnown: number | null;
  readonly more: number;
}

/**
 * What the notifications of one characteristic mean, from the meter's address:
 *
 * | option       | meaning                                                                   |
 * | ------------ | ------------------------------------------------------------------------- |
 * | notify       | the characteristic, as for the link: 2b18 voltage, 2aee current, 2a6e temperature, … |
 * | presentation | its descriptor 0x2904, seven octets in hex as read: 06fe2827010000; outranks the rest |
 * | coupling     | dc, ac: the radio does not tell                                           |
 */
export function gattMeaning(options: ProtocolOptions): Meaning {
  const coupling = "coupling" in options ? choice(options, "coupling", COUPLINGS, "dc") : null;
  const presentation = options["presentation"];
  if (presentation !== undefined) return presented(presentation, coupling);
  const notify = options["notify"] ?? "";
  const known = CHARACTERISTICS[notify.toLowerCase().replace(/^0x/, "")];
  if (known === undefined) {
    const all = Object.keys(CHARACTERISTICS).join(", ");
    throw badOption("notify", notify, `one of ${all}, or presentation= with its descriptor 2904`);
  }
  return { more: 0, coupling, ...known };
}

/** Format, exponent, unit (two octets), name space, description (two octets). */
function presented(hex: string, coupling: Coupling | null): Meaning {
  const octets = (/^[0-9a-f]{14}$/i.test(hex) ? hex.match(/../g) : null) ?? [];
  const [format = 0, exponent = 0, low = 0, high = 0] = octets.map((octet) => parseInt(octet, 16));
  const known = FORMAT_NUMBERS[format];
  const meant = UNIT_NUMBERS[high * 256 + low];
  if (known === undefined || meant === undefined) {
    throw badOption("presentation", hex, "seven octets in hex, with a numeric format and a unit");
  }
  const [quantity, unit] = meant;
  const power = exponent > 127 ? exponent - 256 : exponent;
  const count = { exponent: power };
  return { quantity, unit, coupling, format: known, count, notKnown: null, more: 0 };
}
