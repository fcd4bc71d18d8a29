import type { Decoder } from "../decoder.js";
import type { Reading } from "../reading.js";
import { readAnnunciators } from "../serial-frame/annunciators.js";
import { overloadOf, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm } from "../serial-frame/frame-decoder.js";
import { FRAME_LENGTH, SEGMENT_14_SYMBOLS } from "./bits.js";
import { readDigits } from "./digits.js";
import type { Digits } from "./digits.js";

/** Every byte carries its own position: what makes this frame so hard to mistake. */
export const SEGMENT_14_FORM: FrameForm = formOf(
  FRAME_LENGTH,
  (position, byte) => byte >> 4 === position + 1,
);

export function createSegment14Decoder(): Decoder {
  return new FrameDecoder(SEGMENT_14_FORM, segmentFrameReader());
}

/** Reads frames of the right form; remembers the annunciators, which seldom change. */
function segmentFrameReader(): (frame: Uint8Array) => Reading | string {
  const digits: Digits = { counts: 0, decimals: 0, hasPoint: false, negative: false };
  let known = -1;
  let face: Face | string = "function";
  return (frame) => {
    const lit = annunciatorBits(frame);
    if (lit !== known) {
      known = lit;
      face = readAnnunciators(frame, SEGMENT_14_SYMBOLS);
    }
    if (typeof face === "string") return face;
    const problem = readDigits(frame, digits);
    if (problem !== null) return problem;
    if (!Number.isNaN(digits.counts)) return readingOf(face, digits.counts, digits.decimals);
    const decimals = digits.hasPoint ? digits.decimals : null;
    return overloadOf(face, digits.negative ? "negative" : true, decimals);
  };
}

/** The low nibbles of bytes 1 and 10 to 14 as one number. */
function annunciatorBits(frame: Uint8Array): number {
  let bits = (frame[0] ?? 0) & 15;
  for (let at = 9; at < FRAME_LENGTH; at++) bits = (bits << 4) | ((frame[at] ?? 0) & 15);
  return bits;
}
