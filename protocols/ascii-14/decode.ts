import type { Decoder } from "../decoder.js";
import { readAnnunciators } from "../serial-frame/annunciators.js";
import { overloadOf, overloadSign, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { FrameDecoder, formOf } from "../serial-frame/frame-decoder.js";
import type { FrameForm, ReadFrame } from "../serial-frame/frame-decoder.js";
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

const ASCII_14_FORM: FrameForm = formOf(FRAME_LENGTH, (position, byte) => {
  const letters = LETTERS[position] ?? null;
  if (letters !== null) return letters.includes(String.fromCharCode(byte)) ? 1 : 0;
  return (byte & (UNUSED_BITS[position - 7] ?? 0)) === 0 ? 1 : 0;
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
function asciiFrameReader(): ReadFrame {
  let known = -1;
  let face: Face | string = "function";
  return (bytes, at) => {
    const lit = statusBits(bytes, at);
    if (lit !== known) {
      known = lit;
      face = readAnnunciators(bytes.subarray(at, at + FRAME_LENGTH), ASCII_14_SYMBOLS);
    }
    if (typeof face === "string") return face;
    const negative = bytes[at] === MINUS;
    const decimals = DECIMALS_OF[bytes[at + 6] ?? 0] ?? 0;
    const counts = countsOf(bytes, at + 1);
    if (counts >= 0) return readingOf(face, negative ? -counts : counts, decimals);
    if (!isOverload(bytes, at + 1)) return "digits";
    return overloadOf(face, overloadSign(face, negative), decimals);
  };
}

/** The four digits from `at` as a number; negative where they are not all digits. */
function countsOf(bytes: Uint8Array, at: number): number {
  let counts = 0;
  for (let n = 0; n < 4; n++) {
    const digit = (bytes[at + n] ?? 0) - ZERO;
    if (digit > 9) return -1;
    counts = counts * 10 + digit;
  }
  return counts;
}

function isOverload(bytes: Uint8Array, at: number): boolean {
  for (let n = 0; n < OVERLOAD.length; n++) {
    if (bytes[at + n] !== OVERLOAD.charCodeAt(n)) return false;
  }
  return true;
}

/** The four status bytes as one number. */
function statusBits(bytes: Uint8Array, at: number): number {
  let bits = 0;
  for (let n = 7; n <= 10; n++) bits = (bits << 8) | (bytes[at + n] ?? 0);
  return bits >>> 0;
}
