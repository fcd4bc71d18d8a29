import type { Decoder } from "../decoder.js";
import type { Reading } from "../reading.js";
import { readAnnunciators } from "../serial-frame/annunciators.js";
import { overloadOf, overloadSign, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm } from "../serial-frame/frame-decoder.js";
import { ASCII_14_SYMBOLS, DECIMALS, FRAME_LENGTH, OVERLOAD, UNUSED_BITS } from "./bits.js";

const MINUS = 0x2d;
const ZERO = 0x30;

const POINTS = Object.keys(DECIMALS).join("");

/** What may stand at positions 0 to 6, 12 and 13; the others hold bits. */
const LETTERS: readonly (string | null)[] = [
  "+-",
  ...Array.from(OVERLOAD, () => `0123456789${OVERLOAD}`),
  " ",
  POINTS,
  ...Array.from({ length: 5 }, () => null),
  "\r",
  "\n",
];

export const ASCII_14_FORM: FrameForm = formOf(FRAME_LENGTH, (position, byte) => {
  const letters = LETTERS[position] ?? null;
  if (letters !== null) return letters.includes(String.fromCharCode(byte));
  return (byte & (UNUSED_BITS[position - 7] ?? 0)) === 0;
});

export function createAscii14Decoder(): Decoder {
  return new FrameDecoder(ASCII_14_FORM, asciiFrameReader());
}

/** Digits behind the point by the byte that tells. */
const DECIMALS_OF = Uint8Array.from(
  { length: 256 },
  (_, byte) => DECIMALS[String.fromCharCode(byte)] ?? 0,
);

/** Reads frames of the right form; remembers the status bits, which seldom change. */
function asciiFrameReader(): (frame: Uint8Array) => Reading | string {
  let known = -1;
  let face: Face | string = "function";
  return (frame) => {
    const lit = statusBits(frame);
    if (lit !== known) {
      known = lit;
      face = readAnnunciators(frame, ASCII_14_SYMBOLS);
    }
    if (typeof face === "string") return face;
    const negative = frame[0] === MINUS;
    const decimals = DECIMALS_OF[frame[6] ?? 0] ?? 0;
    const counts = countsOf(frame);
    if (counts >= 0) return readingOf(face, negative ? -counts : counts, decimals);
    if (!isOverload(frame)) return "digits";
    return overloadOf(face, overloadSign(face, negative), decimals);
  };
}

/** The four digits as a number; negative where they are not all digits. */
function countsOf(frame: Uint8Array): number {
  let counts = 0;
  for (let at = 1; at <= 4; at++) {
    const digit = (frame[at] ?? 0) - ZERO;
    if (digit > 9) return -1;
    counts = counts * 10 + digit;
  }
  return counts;
}

function isOverload(frame: Uint8Array): boolean {
  for (let n = 0; n < OVERLOAD.length; n++) {
    if (frame[n + 1] !== OVERLOAD.charCodeAt(n)) return false;
  }
  return true;
}

/** The four status bytes as one number. */
function statusBits(frame: Uint8Array): number {
  return (
    (((frame[7] ?? 0) << 24) |
      ((frame[8] ?? 0) << 16) |
      ((frame[9] ?? 0) << 8) |
      (frame[10] ?? 0)) >>>
    0
  );
}
