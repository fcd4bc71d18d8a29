import type { Flag, Quantity } from "../reading.js";

/** One position of the dial: what it measures, and the full scale of each of its ranges. */
export interface DialPosition {
  readonly quantity: Quantity;
  /**
   * By range code: the full scale as the display shows it, which tells point, prefix and unit at
   * once ("220.00 mV"); null: no such range.
   */
  readonly ranges: readonly (string | null)[];
  /** What it measures instead while the judge bit is clear; absent: the bit has no meaning. */
  readonly unjudged?: { readonly quantity: Quantity; readonly ranges: readonly (string | null)[] };
}

/** One bit of an option byte, counted from 1. */
export interface OptionBit {
  readonly option: number;
  readonly bit: number;
}

/** A frame of nibbles: range, digits, function, status, options, CR LF; each byte 0x30 | nibble. */
export interface NibbleLayout {
  readonly digits: number;
  readonly options: number;
  /** By function code. */
  readonly dial: Readonly<Record<number, DialPosition>>;
  readonly dc: OptionBit;
  readonly ac: OptionBit;
  readonly flags: Readonly<Partial<Record<Flag, OptionBit>>>;
  /** The display says UL: too small for this range; absent: the chip has no such bit. */
  readonly underRange?: OptionBit;
}

/** Bits of the status byte, the same in all frames of this kind. */
export const STATUS = { judge: 8, minus: 4, lowBattery: 2, overload: 1 } as const;

/** Range, function, status, CR, LF beside digits and options. */
export function frameLengthOf({ digits, options }: NibbleLayout): number {
  return digits + options + 5;
}
