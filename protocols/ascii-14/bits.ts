/**
 * Bit tables of the 14-byte frame of multimeter chips that send digits in ASCII and status bits.
 *
 * FROM MEMORY: no data sheet was read. A correction is one line here.
 *
 * Bytes: 1 sign, 2 to 5 digits, 6 space, 7 point, 8 to 11 status, 12 bar graph, 13 and 14 CR LF.
 */
import type { AnnunciatorTable } from "../serial-frame/annunciators.js";

export const FRAME_LENGTH = 14;

/** Digits behind the point by byte 7. */
export const DECIMALS: Readonly<Record<string, number>> = { "0": 0, "1": 3, "2": 2, "4": 1 };

/** The four digits of a display that is over range. */
export const OVERLOAD = "?0:?";

/** Bits of the status bytes 8 to 11 that have no meaning and are never set. */
export const UNUSED_BITS = [0xc0, 0xc1, 0x01, 0x00] as const;

export const ASCII_14_SYMBOLS: AnnunciatorTable = {
  dc: { byte: 8, bit: 0x10 },
  ac: { byte: 8, bit: 0x08 },
  flags: {
    auto: { byte: 8, bit: 0x20 },
    relative: { byte: 8, bit: 0x04 },
    hold: { byte: 8, bit: 0x02 },
    bar: { byte: 8, bit: 0x01 },
    max: { byte: 9, bit: 0x20 },
    min: { byte: 9, bit: 0x10 },
    "auto-off": { byte: 9, bit: 0x08 },
    "low-battery": { byte: 9, bit: 0x04 },
    beep: { byte: 10, bit: 0x08 },
  },
  prefixes: {
    n: { byte: 9, bit: 0x02 },
    µ: { byte: 10, bit: 0x80 },
    m: { byte: 10, bit: 0x40 },
    k: { byte: 10, bit: 0x20 },
    M: { byte: 10, bit: 0x10 },
  },
  quantities: {
    diode: { byte: 10, bit: 0x04 },
    duty: { byte: 10, bit: 0x02 },
    voltage: { byte: 11, bit: 0x80 },
    current: { byte: 11, bit: 0x40 },
    resistance: { byte: 11, bit: 0x20 },
    gain: { byte: 11, bit: 0x10 },
    frequency: { byte: 11, bit: 0x08 },
    capacitance: { byte: 11, bit: 0x04 },
    temperature: { byte: 11, bit: 0x02 },
  },
  fahrenheit: { byte: 11, bit: 0x01 },
};
