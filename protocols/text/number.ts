import { scaled } from "../decimal.js";

/** A decimal number found in a line of bytes. */
export interface NumberFound {
  /** The digits as a whole number, signed; exact below 2^53, NaN above (then `text` counts). */
  readonly digits: number;
  /** Power of ten of the last digit. */
  readonly exponent: number;
  /** Written with an exponent (NR3): the place of the last digit says nothing about the meter. */
  readonly hasExponent: boolean;
  /** As written, with a point; only kept where the digits are too many for a double. */
  readonly text: string | null;
  /** Index of the first byte behind it. */
  readonly end: number;
}

const PLUS = 0x2b;
const MINUS = 0x2d;
const POINT = 0x2e;
const SPACE = 0x20;

const isDigit = (byte: number | undefined) => byte !== undefined && byte >= 0x30 && byte <= 0x39;

/**
 * The number that starts at `from`: sign, spaces, digits with at most one point, exponent
 * (IEEE 488.2 NR1, NR2, NR3; meters put spaces behind the sign). null where none starts there.
 */
export function numberAt(
  bytes: Uint8Array,
  from: number,
  to: number,
  point: number = POINT,
): NumberFound | null {
  const negative = bytes[from] === MINUS;
  let at = negative || bytes[from] === PLUS ? from + 1 : from;
  while (at > from && at < to && bytes[at] === SPACE) at++;
  const start = at;
  let digits = 0;
  let figures = 0;
  let decimals = -1;
  for (; at < to; at++) {
    const byte = bytes[at] ?? 0;
    if (isDigit(byte)) {
      digits = digits * 10 + (byte - 0x30);
      if (digits > 0) figures++;
      if (decimals >= 0) decimals++;
    } else if (byte === point && decimals < 0) decimals = 0;
    else break;
  }
  if (at - start - (decimals >= 0 ? 1 : 0) === 0) return null;
  const power = exponentAt(bytes, at, to);
  const end = power?.end ?? at;
  return {
    digits: figures > 15 ? NaN : negative ? -digits : digits,
    exponent: (power?.value ?? 0) - Math.max(decimals, 0),
    hasExponent: power !== null,
    text: figures > 15 ? (negative ? "-" : "") + textOf(bytes, start, end, point) : null,
    end,
  };
}

/** The double nearest to the number times 10^`shift`. */
export function valueOf(found: NumberFound, shift = 0): number {
  if (found.text === null) return scaled(found.digits, found.exponent + shift);
  const [mantissa = "", power = "0"] = found.text.toLowerCase().split("e");
  return Number(`${mantissa}e${Number(power) + shift}`);
}

/** `e`, sign, digits; null where they do not all stand there ("1.5 EUR" has no exponent). */
function exponentAt(
  bytes: Uint8Array,
  at: number,
  to: number,
): { value: number; end: number } | null {
  if (((bytes[at] ?? 0) | 0x20) !== 0x65 || at >= to) return null;
  const sign = bytes[at + 1];
  const start = sign === PLUS || sign === MINUS ? at + 2 : at + 1;
  let end = start;
  let value = 0;
  for (; end < to && isDigit(bytes[end]); end++) {
    value = Math.min(value * 10 + ((bytes[end] ?? 0) - 0x30), 9999);
  }
  if (end === start) return null;
  return { value: sign === MINUS ? -value : value, end };
}

function textOf(bytes: Uint8Array, start: number, end: number, point: number): string {
  const text = String.fromCharCode(...bytes.subarray(start, end));
  return point === POINT ? text : text.replace(String.fromCharCode(point), ".");
}
