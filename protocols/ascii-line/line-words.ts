import type { Face } from "../serial-frame/face.js";
import { textOfBytes } from "../text/latin.js";
import { faceOfSpoken, readWords } from "../text/words.js";
import type { Overload } from "../reading.js";
import type { LineOptions } from "./options.js";

/** What the words of a line say. */
export interface LineWords {
  readonly face: Face;
  readonly overload: Overload;
}

/**
 * Reads the words around the number of a line. They seldom change from line to line, so the last
 * ones are remembered with their meaning.
 */
export class WordReader {
  readonly #options: LineOptions;
  readonly #known = new Uint8Array(256);
  #knownLength = -1;
  #meaning: LineWords | string = "";

  constructor(options: LineOptions) {
    this.#options = options;
  }

  /** The words are the bytes of `line` before `cutFrom` and from `cutTo` on. */
  read(line: Uint8Array, length: number, cutFrom: number, cutTo: number): LineWords | string {
    if (this.#isKnown(line, length, cutFrom, cutTo)) return this.#meaning;
    const rest = new Uint8Array(cutFrom + 1 + length - cutTo);
    rest.set(line.subarray(0, cutFrom), 0);
    rest[cutFrom] = 0x20;
    rest.set(line.subarray(cutTo, length), cutFrom + 1);
    this.#known.set(rest.subarray(0, this.#known.length), 0);
    this.#knownLength = rest.length <= this.#known.length ? rest.length : -1;
    this.#meaning = this.#interpret(rest);
    return this.#meaning;
  }

  #isKnown(line: Uint8Array, length: number, cutFrom: number, cutTo: number): boolean {
    if (cutFrom + 1 + length - cutTo !== this.#knownLength) return false;
    const known = this.#known;
    if (known[cutFrom] !== 0x20) return false;
    for (let at = 0; at < cutFrom; at++) if (line[at] !== known[at]) return false;
    const shift = cutFrom + 1 - cutTo;
    for (let at = cutTo; at < length; at++) if (line[at] !== known[at + shift]) return false;
    return true;
  }

  #interpret(rest: Uint8Array): LineWords | string {
    if (rest.some((byte) => (byte < 0x20 && byte !== 0x09) || byte === 0x7f)) return "not text";
    const { field, anyWords, bare, quantity, coupling } = this.#options;
    const words = this.#split(rest).filter((word) => field === null || !/^[+-]?[\d.,]/.test(word));
    const spoken = readWords(words, anyWords);
    if (typeof spoken === "string") return spoken;
    if (spoken.unit === null && spoken.quantity === null) {
      const flagged = { ...bare, flags: spoken.flags, coupling: spoken.coupling ?? bare.coupling };
      return { face: flagged, overload: spoken.overload };
    }
    const face = faceOfSpoken({
      ...spoken,
      quantity: quantity ?? spoken.quantity,
      coupling: spoken.coupling ?? coupling,
    });
    return { face, overload: spoken.overload };
  }

  /** At separators, and at the colons and equal signs of "CH: V=". */
  #split(rest: Uint8Array): string[] {
    const spaced = rest.map((byte) =>
      this.#options.isSeparator[byte] === 1 || byte === 0x3a || byte === 0x3d ? 0x20 : byte,
    );
    return textOfBytes(spaced)
      .split(/\s+/)
      .filter((word) => word !== "");
  }
}
