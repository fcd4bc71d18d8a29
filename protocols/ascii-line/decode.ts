import type { Decoder, DecoderStats } from "../decoder.js";
import type { ProtocolOptions } from "../protocol.js";
import type { Reading } from "../reading.js";
import { overloadOf, readingOf } from "../serial-frame/face.js";
import type { Face } from "../serial-frame/face.js";
import { LineSplitter } from "../text/line-splitter.js";
import { numberAt, valueOf } from "../text/number.js";
import type { NumberFound } from "../text/number.js";
import { numberStart } from "./find-number.js";
import { WordReader } from "./line-words.js";
import { lineOptions } from "./options.js";
import type { LineOptions } from "./options.js";

export function createAsciiLineDecoder(options: ProtocolOptions = {}): Decoder {
  return new AsciiLineDecoder(lineOptions(options));
}

const NONE: readonly Reading[] = [];
/** SCPI-1999 vol. 1, 7.2.1.4: what instruments send for infinity, in any protocol (from memory). */
const INFINITE = 9.9e37;
const LETTER_L = 0x4c;

/** One reading a line: a number, and words that say what it is. */
class AsciiLineDecoder implements Decoder {
  readonly #options: LineOptions;
  readonly #splitter: LineSplitter;
  readonly #words: WordReader;
  #readings: Reading[] = [];
  #ends: number[] | undefined;
  #frames = 0;
  #droppedBytes = 0;
  #rejected: Record<string, number> = {};
  #inStep: boolean;

  constructor(options: LineOptions) {
    this.#options = options;
    this.#inStep = options.keepFirst;
    this.#words = new WordReader(options);
    this.#splitter = new LineSplitter(options.terminator, (line, length, end) =>
      this.#onLine(line, length, end),
    );
  }

  get stats(): DecoderStats {
    return {
      frames: this.#frames,
      skippedBytes: this.#splitter.skippedBytes + this.#droppedBytes,
      rejected: { ...this.#rejected },
    };
  }

  push(bytes: Uint8Array, ends?: number[]): readonly Reading[] {
    this.#ends = ends;
    this.#splitter.push(bytes);
    if (this.#readings.length === 0) return NONE;
    const readings = this.#readings;
    this.#readings = [];
    return readings;
  }

  reset(): void {
    this.#splitter.reset();
    this.#readings = [];
    this.#frames = 0;
    this.#droppedBytes = 0;
    this.#rejected = {};
    this.#inStep = this.#options.keepFirst;
  }

  #onLine(line: Uint8Array, length: number, end: number): void {
    if (!this.#inStep) {
      // Whoever starts to listen in the middle of "14.5" would read "4.5".
      this.#inStep = true;
      this.#droppedBytes += length;
      return;
    }
    const result = this.#read(line, length);
    if (typeof result === "string") this.#rejected[result] = (this.#rejected[result] ?? 0) + 1;
    else {
      this.#frames++;
      this.#readings.push(result);
      this.#ends?.push(end);
    }
  }

  #read(line: Uint8Array, length: number): Reading | string {
    const start = numberStart(line, length, this.#options);
    const found = start < 0 ? null : numberAt(line, start, length, this.#options.point);
    if (found === null || (((line[found.end] ?? 0) & 0xdf) === LETTER_L && found.end < length)) {
      return this.#readWordsOnly(line, length);
    }
    if (this.#options.field === null && numberStart(line, length, this.#options, found.end) >= 0) {
      return "two numbers";
    }
    const words = this.#words.read(line, length, start, found.end);
    if (typeof words === "string") return words;
    return words.overload === false
      ? numberReading(words.face, found)
      : overloadOf(words.face, words.overload, null);
  }

  /** A line without number is an over-range display or no reading at all. */
  #readWordsOnly(line: Uint8Array, length: number): Reading | string {
    const words = this.#words.read(line, length, length, length);
    if (typeof words === "string") return words;
    return words.overload === false ? "no number" : overloadOf(words.face, words.overload, null);
  }
}

function numberReading(face: Face, found: NumberFound): Reading {
  if (!found.hasExponent && !Number.isNaN(found.digits)) {
    return readingOf(face, found.digits, -found.exponent);
  }
  const value = valueOf(found, face.exponent);
  if (Math.abs(value) >= INFINITE) {
    return overloadOf(face, value < 0 ? "negative" : "positive", null);
  }
  const { quantity, coupling, unit, flags } = face;
  return { quantity, coupling, value, overload: false, unit, resolution: null, flags };
}
