import type { LineOptions } from "./options.js";

const isDigit = (byte: number | undefined) => byte !== undefined && byte >= 0x30 && byte <= 0x39;
const isLetter = (byte: number | undefined) =>
  byte !== undefined && ((byte | 0x20) - 0x61) >>> 0 < 26;

/**
 * Where a number starts at or after `from`: a digit, or a sign or point in front of one, and not
 * inside a word ("CH1"). With a field chosen, where that field starts. -1 where none does.
 */
export function numberStart(
  line: Uint8Array,
  length: number,
  { field, isSeparator, point }: LineOptions,
  from = 0,
): number {
  const begin = field === null ? from : fieldStart(line, length, isSeparator, field);
  for (let at = begin; at < length; at++) {
    const byte = line[at];
    if (field !== null && isSeparator[byte ?? 0] === 1 && byte !== 0x20) return -1;
    if (isDigit(byte)) {
      if (!isLetter(line[at - 1])) return at;
      while (isDigit(line[at + 1])) at++;
    } else if (isSign(byte) && startsBehindSign(line, at + 1, length, point)) return at;
    else if (byte === point && isDigit(line[at + 1]) && at + 1 < length) return at;
  }
  return -1;
}

const isSign = (byte: number | undefined) => byte === 0x2b || byte === 0x2d;

/** Spaces, then a digit or a point with a digit. */
function startsBehindSign(line: Uint8Array, from: number, length: number, point: number): boolean {
  let at = from;
  while (at < length && line[at] === 0x20) at++;
  if (at < length && line[at] === point) at++;
  return at < length && isDigit(line[at]);
}

/** Spaces do not make a field when another separator is chosen to. */
function fieldStart(
  line: Uint8Array,
  length: number,
  isSeparator: Uint8Array,
  field: number,
): number {
  let seen = 0;
  for (let at = 0; at < length; at++) {
    if (seen === field) return at;
    if (isSeparator[line[at] ?? 0] === 1 && line[at] !== 0x20) seen++;
  }
  return length;
}
