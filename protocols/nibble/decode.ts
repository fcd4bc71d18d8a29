import type { Decoder } from "../decoder.js";
import type { Reading } from "../reading.js";
import { overloadOf, overloadSign, readingOf } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm } from "../serial-frame/frame-decoder.js";
import { STATUS, frameLengthOf } from "./layout.js";
import type { NibbleLayout } from "./layout.js";
import { readSettings } from "./settings.js";
import type { Settings } from "./settings.js";

const CR = 0x0d;
const LF = 0x0a;

export function createNibbleDecoder(layout: NibbleLayout): Decoder {
  return new FrameDecoder(nibbleForm(layout), nibbleFrameReader(layout));
}

/**
 * 7 data bits with odd parity: seven bits of each byte count. A link that is set to 8 bits
 * delivers the parity bit on top, and then it has to be right.
 */
export function nibbleForm(layout: NibbleLayout): FrameForm {
  const length = frameLengthOf(layout);
  return formOf(length, (position, byte) => {
    const bits = byte & 0x7f;
    if (byte > 0x7f && !hasOddParity(byte)) return false;
    if (position >= length - 2) return bits === (position === length - 2 ? CR : LF);
    const isDigit = position >= 1 && position <= layout.digits;
    return bits >> 4 === 3 && (!isDigit || bits <= 0x39);
  });
}

/** Reads frames of the right form; remembers range, function and options, which seldom change. */
function nibbleFrameReader(layout: NibbleLayout): (frame: Uint8Array) => Reading | string {
  const statusAt = layout.digits + 2;
  let known = -1;
  let settings: Settings | string = "function";
  return (frame) => {
    const now = settingBits(frame, layout);
    if (now !== known) {
      known = now;
      settings = readSettings(frame, layout);
    }
    if (!hasOneParity(frame)) return "parity";
    if (typeof settings === "string") return settings;
    const { face, decimals } = settings;
    const status = frame[statusAt] ?? 0;
    const negative = (status & STATUS.minus) !== 0;
    if ((status & STATUS.overload) !== 0) {
      return overloadOf(face, overloadSign(face, negative), decimals);
    }
    const counts = countsOf(frame, layout.digits);
    return readingOf(face, negative ? -counts : counts, decimals);
  };
}

function countsOf(frame: Uint8Array, digits: number): number {
  let counts = 0;
  for (let at = 1; at <= digits; at++) counts = counts * 10 + ((frame[at] ?? 0) & 15);
  return counts;
}

/** Range, function, options, and the bits of the status that are no part of the value. */
function settingBits(frame: Uint8Array, { digits, options }: NibbleLayout): number {
  let bits = (frame[0] ?? 0) & 15;
  bits = (bits << 4) | ((frame[digits + 1] ?? 0) & 15);
  bits = (bits << 4) | ((frame[digits + 2] ?? 0) & (STATUS.judge | STATUS.lowBattery));
  for (let n = 0; n < options; n++) bits = (bits << 4) | ((frame[digits + 3 + n] ?? 0) & 15);
  return bits >>> 0;
}

/** LF has an even number of ones: its eighth bit tells whether parity was delivered. */
function hasOneParity(frame: Uint8Array): boolean {
  const delivered = (frame[frame.length - 1] ?? 0) > 0x7f;
  for (const byte of frame) if (delivered ? !hasOddParity(byte) : byte > 0x7f) return false;
  return true;
}

function hasOddParity(byte: number): boolean {
  return ODD_PARITY[byte] === 1;
}

const ODD_PARITY = Uint8Array.from({ length: 256 }, (_, byte) => {
  let ones = 0;
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1;
  return ones & 1;
});
