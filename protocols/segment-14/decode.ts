import type { Decoder } from "../decoder.js";
import { readAnnunciators } from "../serial-frame/annunciators.js";
import { overloadOf, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm, ReadFrame } from "../serial-frame/frame-decoder.js";
import { FRAME_LENGTH, SEGMENT_14_SYMBOLS } from "./bits.js";
import { readDigits } from "./digits.js";
import type { Digits } from "./digits.js";

/** Every byte carries its own position: what makes this frame so hard to mistake. */
const SEGMENT_14_FORM: FrameForm = formOf(FRAME_LENGTH, (position, byte) =>
  byte >> 4 === position + 1 ? 1 : 0,
);

export function createSegment14Decoder(): Decoder {
  return new FrameDecoder(SEGMENT_14_FORM, segmentFrameReader());
}

/** Reads frames of the right form; remembers the annunciators, which seldom change. */
function segmentFrameReader(): ReadFrame {
  const digits: Digits = { counts: 0, decimals: 0, hasPoint: false, negative: false };
  let known = -1;
  let face: Face | string = "function";
  return (bytes, at) => {
    const lit = annunciatorBits(bytes, at);
    if (lit !== known) {
      known = lit;
      face = readAnnunciators(bytes.subarray(at, at + FRAME_LENGTH), SEGMENT_14_SYMBOLS);
    }
    if (typeof face === "string") return face;
    const problem = readDigits(bytes, at, digits);
    if (problem !== null) return problem;
    if (!Number.isNaN(digits.counts)) return readingOf(face, digits.counts, digits.decimals);
    const decimals = digits.hasPoint ? digits.decimals : null;
    return overloadOf(face, digits.negative ? "negative" : true, decimals);
  };
}

/** The low nibbles of bytes 1 and 10 to 14 as one number. */
function annunciatorBits(bytes: Uint8Array, at: number): number {
  let bits = (bytes[at] ?? 0) & 15;
  for (let n = 9; n < FRAME_LENGTH; n++) bits = (bits << 4) | ((bytes[at + n] ?? 0) & 15);
  return bits;
}
