import { countOf, scaled } from "../decimal.js";
import type { Decoder, DecoderStats } from "../decoder.js";
import type { ProtocolOptions } from "../protocol.js";
import type { Overload, Reading } from "../reading.js";
import { LENGTHS, readNumber } from "./number-format.js";
import { gattMeaning } from "./options.js";
import type { Meaning } from "./options.js";

export function createGattDecoder(options: ProtocolOptions = {}): Decoder {
  return new GattDecoder(gattMeaning(options));
}

const NONE: readonly Reading[] = [];

/**
 * Values of one characteristic, one after the other. There is nothing in them to fall into step
 * by: the radio delivers each value whole and in order, or not at all.
 */
class GattDecoder implements Decoder {
  readonly #meaning: Meaning;
  readonly #value: Uint8Array;
  #filled = 0;
  #frames = 0;
  #rejected: Record<string, number> = {};

  constructor(meaning: Meaning) {
    this.#meaning = meaning;
    this.#value = new Uint8Array(LENGTHS[meaning.format] + meaning.more);
  }

  get stats(): DecoderStats {
    return { frames: this.#frames, skippedBytes: 0, rejected: { ...this.#rejected } };
  }

  push(bytes: Uint8Array, ends?: number[]): readonly Reading[] {
    let readings: Reading[] | null = null;
    let at = 0;
    for (const byte of bytes) {
      at++;
      this.#value[this.#filled++] = byte;
      if (this.#filled < this.#value.length) continue;
      this.#filled = 0;
      const result = readingOfValue(this.#value, this.#meaning);
      if (typeof result === "string") this.#rejected[result] = (this.#rejected[result] ?? 0) + 1;
      else {
        this.#frames++;
        (readings ??= []).push(result);
        ends?.push(at);
      }
    }
    return readings ?? NONE;
  }

  reset(): void {
    this.#filled = 0;
    this.#frames = 0;
    this.#rejected = {};
  }
}

function readingOfValue(bytes: Uint8Array, meaning: Meaning): Reading | string {
  const raw = readNumber(bytes, meaning.format);
  switch (raw.kind) {
    case "not a number":
      return "not a number";
    case "infinite":
      return reading(meaning, null, null, raw.negative ? "negative" : "positive");
    case "binary":
      return reading(meaning, raw.value, null, false);
    case "decimal": {
      if (raw.digits === meaning.notKnown) return "not known";
      const { count } = meaning;
      if ("divisor" in count) {
        return reading(meaning, raw.digits / count.divisor, 1 / count.divisor, false);
      }
      const exponent = raw.exponent + count.exponent;
      return reading(meaning, scaled(raw.digits, exponent), countOf(exponent), false);
    }
  }
}

function reading(
  { quantity, coupling, unit }: Meaning,
  value: number | null,
  resolution: number | null,
  overload: Overload,
): Reading {
  return { quantity, coupling, value, overload, unit, resolution, flags: [] };
}
