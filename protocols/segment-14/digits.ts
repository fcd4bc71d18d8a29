import { DIGIT_BYTES, DIGIT_CODES, SIGN_OR_POINT } from "./bits.js";

const BLANK = 10;
const LETTER_L = 11;
const ILLEGAL = -1;

/** Digit value, `BLANK`, `LETTER_L` or `ILLEGAL` by segment code. */
const MEANING = Int8Array.from({ length: 128 }, (_, code) => {
  const shown = DIGIT_CODES[code];
  if (shown === undefined) return ILLEGAL;
  if (shown === " ") return BLANK;
  return shown === "L" ? LETTER_L : Number(shown);
});

/** The four digits of a display: one object for all frames, so that reading them allocates nothing. */
export interface Digits {
  /** Minus zero where the display shows it; NaN on overload. */
  counts: number;
  decimals: number;
  hasPoint: boolean;
  negative: boolean;
}

/** Reads the digits of the frame at `at`; returns the reason where they are no number and no 0L. */
export function readDigits(bytes: Uint8Array, at: number, into: Digits): string | null {
  let counts = 0;
  let figures = 0;
  let letters = 0;
  let point = 0;
  let gap = false;
  for (let n = 0; n < DIGIT_BYTES.length; n++) {
    const high = bytes[at + 2 * n + 1] ?? 0;
    const meaning = MEANING[((high & 7) << 4) | ((bytes[at + 2 * n + 2] ?? 0) & 15)] ?? ILLEGAL;
    if (n > 0 && (high & SIGN_OR_POINT) !== 0) {
      if (point > 0) return "points";
      point = n;
    }
    if (meaning === ILLEGAL) return "segments";
    if (meaning === LETTER_L) letters++;
    else if (meaning === BLANK) gap = gap || figures > 0;
    else {
      if (gap && letters === 0) return "digits";
      counts = counts * 10 + meaning;
      figures++;
    }
  }
  if (figures === 0 && letters === 0) return "blank";
  if (letters > 0 ? letters > 1 || counts > 0 : gap) return "digits";
  into.negative = ((bytes[at + 1] ?? 0) & SIGN_OR_POINT) !== 0;
  into.counts = letters > 0 ? NaN : into.negative ? -counts : counts;
  into.hasPoint = point > 0;
  into.decimals = point > 0 ? DIGIT_BYTES.length - point : 0;
  return null;
}
