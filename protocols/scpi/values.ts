import type { Reading } from "../reading.js";
import { overloadOf, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { valueOf } from "../text/number.js";
import type { NumberFound } from "../text/number.js";
import { elementsOf } from "./elements.js";
import type { Element } from "./elements.js";
import type { BlockFormat } from "./options.js";

/** SCPI-1999 vol. 1, 7.2.1.4 and 7.2.1.5 (from memory): infinity and not-a-number. */
const INFINITE = 9.9e37;
const NOT_A_NUMBER = 9.91e37;

export interface ValueFormat {
  readonly block: BlockFormat;
  readonly swapped: boolean;
}

/** The readings in the elements of a reply; a reason for each element that is none. */
export function readingsOf(
  elements: readonly Element[],
  face: Face,
  format: ValueFormat,
): { readonly readings: Reading[]; readonly reasons: string[] } {
  const readings: Reading[] = [];
  const reasons: string[] = [];
  const keep = (result: Reading | string) => {
    if (typeof result === "string") reasons.push(result);
    else readings.push(result);
  };
  for (const element of elements) {
    if (element.kind === "number") keep(readingOfNumber(element.number, face));
    else if (element.kind === "block") blockValues(element.bytes, face, format).forEach(keep);
    else keep("not a number");
  }
  return { readings, reasons };
}

function readingOfNumber(number: NumberFound, face: Face): Reading | string {
  if (!number.hasExponent && !Number.isNaN(number.digits)) {
    return readingOf(face, number.digits, -number.exponent);
  }
  return readingOfValue(valueOf(number), face);
}

/** The wire does not tell the count: resolution null. */
function readingOfValue(value: number, face: Face): Reading | string {
  if (value === NOT_A_NUMBER || Number.isNaN(value)) return "instrument says not a number";
  if (Math.abs(value) >= INFINITE) {
    return overloadOf(face, value < 0 ? "negative" : "positive", null);
  }
  const { quantity, coupling, unit, flags } = face;
  return { quantity, coupling, value, overload: false, unit, resolution: null, flags };
}

function blockValues(bytes: Uint8Array, face: Face, format: ValueFormat): (Reading | string)[] {
  if (format.block === "ascii") {
    return elementsOf(bytes).map((element) =>
      element.kind === "number" ? readingOfNumber(element.number, face) : "not a number",
    );
  }
  const width = format.block === "real-32" ? 4 : 8;
  if (bytes.length === 0 || bytes.length % width !== 0) return ["block of a wrong length"];
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  return Array.from({ length: bytes.length / width }, (_, n) => {
    const at = n * width;
    const value =
      width === 4
        ? real32(view.getFloat32(at, format.swapped))
        : view.getFloat64(at, format.swapped);
    return readingOfValue(value, face);
  });
}

/** A single holds about seven digits: the shortest decimal that means the same single is meant. */
function real32(value: number): number {
  for (let figures = 6; figures < 9; figures++) {
    const shorter = Number(value.toPrecision(figures));
    if (Math.fround(shorter) === value) return shorter;
  }
  return value;
}
