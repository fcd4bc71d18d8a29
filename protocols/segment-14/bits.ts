/**
 * Bit tables of the 14-byte frame of multimeter chips that send their LCD segments.
 *
 * FROM MEMORY: no data sheet was read. Digit codes and byte positions are well known; the order
 * of the bits inside bytes 1 and 10 to 14 is less certain. A correction is one line here.
 *
 * Byte n (1 to 14) carries n in its high nibble and four segments in its low nibble.
 */
import type { Annunciator, AnnunciatorTable } from "../serial-frame/annunciators.js";

export const FRAME_LENGTH = 14;

/** Segments of one digit: low three bits of its first byte, then four of its second. */
export const DIGIT_CODES: Readonly<Record<number, string>> = {
  0x7d: "0",
  0x05: "1",
  0x5b: "2",
  0x1f: "3",
  0x27: "4",
  0x3e: "5",
  0x7e: "6",
  0x15: "7",
  0x7f: "8",
  0x3f: "9",
  0x68: "L",
  0x00: " ",
};

/** First byte of each of the four digits, 1-based. */
export const DIGIT_BYTES = [2, 4, 6, 8] as const;

/** Bit of a digit's first byte: minus in front of digit 1, point in front of digits 2, 3, 4. */
export const SIGN_OR_POINT = 8;

/** On while the meter sends; nothing depends on it. */
export const SENDING: Annunciator = { byte: 1, bit: 1 };

export const SEGMENT_14_SYMBOLS: AnnunciatorTable = {
  ac: { byte: 1, bit: 8 },
  dc: { byte: 1, bit: 4 },
  flags: {
    auto: { byte: 1, bit: 2 },
    hold: { byte: 12, bit: 1 },
    relative: { byte: 12, bit: 2 },
    "low-battery": { byte: 13, bit: 1 },
    beep: { byte: 11, bit: 1 },
  },
  prefixes: {
    µ: { byte: 10, bit: 8 },
    n: { byte: 10, bit: 4 },
    k: { byte: 10, bit: 2 },
    m: { byte: 11, bit: 8 },
    M: { byte: 11, bit: 2 },
  },
  quantities: {
    diode: { byte: 10, bit: 1 },
    duty: { byte: 11, bit: 4 },
    resistance: { byte: 12, bit: 4 },
    capacitance: { byte: 12, bit: 8 },
    frequency: { byte: 13, bit: 2 },
    voltage: { byte: 13, bit: 4 },
    current: { byte: 13, bit: 8 },
    // The maker of the meter wires byte 14 as he likes: degree Celsius and Fahrenheit are guesses.
    temperature: { byte: 14, bit: 1 },
  },
  fahrenheit: { byte: 14, bit: 2 },
};
