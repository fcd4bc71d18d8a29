import type { Decoder } from "../decoder.js";
import { overloadOf, overloadSign, readingOf } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm, ReadFrame } from "../serial-frame/frame-decoder.js";
import { STATUS, frameLengthOf } from "./layout.js";
import type { NibbleLayout } from "./layout.js";
import { readSettings } from "./settings.js";
import type { Settings } from "./settings.js";

const CR = 0x0d;
const LF = 0x0a;

/** Makes decoders of one layout; the tables of its form are worked out once. */
export function nibbleDecoders(layout: NibbleLayout): () => Decoder {
  const form = nibbleForm(layout);
  return () => new FrameDecoder(form, nibbleFrameReader(layout));
}

/** Ways of delivery: the seven bits alone, or the parity bit on top where a link is set to 8. */
const BARE = 1;
const WITH_PARITY = 2;

/** 7 data bits with odd parity. */
function nibbleForm(layout: NibbleLayout): FrameForm {
  const length = frameLengthOf(layout);
  return formOf(length, (position, byte) => {
    const bits = byte & 0x7f;
    if (!standsAt(position, bits, length, layout.digits)) return 0;
    return (byte <= 0x7f ? BARE : 0) | (hasOddParity(byte) ? WITH_PARITY : 0);
  });
}

function standsAt(position: number, bits: number, length: number, digits: number): boolean {
  if (position === length - 2) return bits === CR;
  if (position === length - 1) return bits === LF;
  const isDigit = position >= 1 && position <= digits;
  return bits >> 4 === 3 && (!isDigit || bits <= 0x39);
}

/** Reads frames of the right form; remembers range, function and options, which seldom change. */
function nibbleFrameReader(layout: NibbleLayout): ReadFrame {
  const length = frameLengthOf(layout);
  const functionAt = layout.digits + 1;
  const statusAt = layout.digits + 2;
  const endAt = length - 2;
  let known = -1;
  let settings: Settings | string = "function";
  return (bytes, at) => {
    const status = bytes[at + statusAt] ?? 0;
    // Range, function, options, and the bits of the status that are no part of the value.
    let now = ((bytes[at] ?? 0) & 15) | ((status & (STATUS.judge | STATUS.lowBattery)) << 4);
    now = (now << 4) | ((bytes[at + functionAt] ?? 0) & 15);
    for (let n = statusAt + 1; n < endAt; n++) now = (now << 4) | ((bytes[at + n] ?? 0) & 15);
    if (now !== known) {
      known = now;
      settings = readSettings(bytes.subarray(at, at + length), layout);
    }
    if (typeof settings === "string") return settings;
    const { face, decimals } = settings;
    const negative = (status & STATUS.minus) !== 0;
    if ((status & STATUS.overload) !== 0) {
      return overloadOf(face, overloadSign(face, negative), decimals);
    }
    let counts = 0;
    for (let n = 1; n < functionAt; n++) counts = counts * 10 + ((bytes[at + n] ?? 0) & 15);
    return readingOf(face, negative ? -counts : counts, decimals);
  };
}

function hasOddParity(byte: number): boolean {
  let ones = 0;
  for (let rest = byte; rest > 0; rest >>= 1) ones += rest & 1;
  return ones % 2 === 1;
}
