import type { Decoder, DecoderStats } from "../decoder.js";
import type { Reading } from "../reading.js";

/** The shape of a frame of fixed length: which byte may stand where. */
export interface FrameForm {
  readonly length: number;
  /**
   * `legal[position * 256 + byte]`: the ways of delivery, one bit each, in which the byte may stand
   * at the position. All bytes of a frame came the same way, so one bit has to be set in all.
   */
  readonly legal: Uint8Array;
}

/** The frame of the right form at `at` as a reading, or the reason why it cannot be one. */
export type ReadFrame = (bytes: Uint8Array, at: number) => Reading | string;

/** `waysOf` gives the ways of delivery (up to eight bits) in which a byte is legal; 0: in none. */
export function formOf(
  length: number,
  waysOf: (position: number, byte: number) => number,
): FrameForm {
  const legal = Uint8Array.from({ length: length * 256 }, (_, at) => waysOf(at >> 8, at & 0xff));
  return { length, legal };
}

const ANY_WAY = 0xff;
const NONE: readonly Reading[] = [];

/**
 * Finds frames of fixed length in a stream by their form alone, so that it falls into step again
 * at the first whole frame after any damage. One byte costs one table look-up, no allocation.
 */
export class FrameDecoder implements Decoder {
  readonly #length: number;
  readonly #legal: Uint8Array;
  readonly #read: ReadFrame;
  readonly #frame: Uint8Array;
  #filled = 0;
  /** Ways of delivery that all bytes in `#frame` have in common. */
  #ways = ANY_WAY;
  #frames = 0;
  #skippedBytes = 0;
  #rejected: Record<string, number> = {};

  constructor(form: FrameForm, read: ReadFrame) {
    this.#length = form.length;
    this.#legal = form.legal;
    this.#read = read;
    this.#frame = new Uint8Array(form.length);
  }

  get stats(): DecoderStats {
    return {
      frames: this.#frames,
      skippedBytes: this.#skippedBytes,
      rejected: { ...this.#rejected },
    };
  }

  push(bytes: Uint8Array, ends?: number[]): readonly Reading[] {
    // Byte by byte, as a slow line delivers them: nothing else is asked of each.
    if (bytes.length === 1 && !this.#add(bytes[0] ?? 0)) return NONE;
    return bytes.length === 1 ? this.#readOne(ends) : this.#pushMany(bytes, ends);
  }

  reset(): void {
    this.#filled = 0;
    this.#ways = ANY_WAY;
    this.#frames = 0;
    this.#skippedBytes = 0;
    this.#rejected = {};
  }

  /** Puts one more byte behind those held; true where they are a whole frame now. */
  #add(byte: number): boolean {
    const filled = this.#filled;
    const ways = this.#ways & (this.#legal[(filled << 8) | byte] ?? 0);
    this.#frame[filled] = byte;
    if (ways === 0) {
      this.#shift(filled + 1);
      return false;
    }
    if (filled + 1 < this.#length) {
      this.#filled = filled + 1;
      this.#ways = ways;
      return false;
    }
    this.#filled = 0;
    this.#ways = ANY_WAY;
    return true;
  }

  #isFrame(bytes: Uint8Array, start: number): boolean {
    const legal = this.#legal;
    const rows = this.#length << 8;
    let ways = ANY_WAY;
    for (let row = 0, at = start; row < rows; row += 256, at++) {
      ways &= legal[row | (bytes[at] ?? 0)] ?? 0;
      if (ways === 0) return false;
    }
    return true;
  }

  #readOne(ends?: number[]): readonly Reading[] {
    const result = this.#read(this.#frame, 0);
    if (typeof result === "string") return this.#reject(result);
    this.#frames++;
    ends?.push(1);
    return [result];
  }

  #pushMany(bytes: Uint8Array, ends?: number[]): readonly Reading[] {
    const length = this.#length;
    const end = bytes.length;
    let readings: Reading[] | null = null;
    let count = 0;
    let at = 0;
    while (at < end) {
      let result: Reading | string;
      // A whole frame inside the chunk is read where it lies; only a split one is put together.
      if (this.#filled === 0 && end - at >= length && this.#isFrame(bytes, at)) {
        result = this.#read(bytes, at);
        at += length;
      } else if (this.#add(bytes[at++] ?? 0)) {
        result = this.#read(this.#frame, 0);
      } else continue;
      if (typeof result === "string") this.#reject(result);
      else {
        // As long as it can become, at once: growing it costs as much as a reading.
        readings ??= new Array<Reading>(1 + Math.floor((end - at) / length));
        readings[count++] = result;
        ends?.push(at);
      }
    }
    if (readings === null) return NONE;
    this.#frames += count;
    readings.length = count;
    return readings;
  }

  #reject(reason: string): readonly Reading[] {
    this.#rejected[reason] = (this.#rejected[reason] ?? 0) + 1;
    return NONE;
  }

  /** Drops bytes from the front until what is left can be the start of a frame again. */
  #shift(held: number): void {
    const frame = this.#frame;
    for (let dropped = 1; dropped < held; dropped++) {
      const ways = this.#waysAt(frame, dropped, held);
      if (ways === 0) continue;
      frame.copyWithin(0, dropped, held);
      this.#skippedBytes += dropped;
      this.#filled = held - dropped;
      this.#ways = ways;
      return;
    }
    this.#skippedBytes += held;
    this.#filled = 0;
    this.#ways = ANY_WAY;
  }

  /** The ways in which the bytes from `start` to before `end` are a frame or the start of one. */
  #waysAt(bytes: Uint8Array, start: number, end: number): number {
    const legal = this.#legal;
    let ways = ANY_WAY;
    for (let at = start, row = 0; at < end; at++, row += 256) {
      ways &= legal[row | (bytes[at] ?? 0)] ?? 0;
      if (ways === 0) return 0;
    }
    return ways;
  }
}
