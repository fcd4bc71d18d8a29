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

  push(bytes: Uint8Array): readonly Reading[] {
    const length = this.#length;
    const legal = this.#legal;
    const end = bytes.length;
    let readings: Reading[] | null = null;
    let at = 0;
    while (at < end) {
      // A whole frame inside the chunk is read where it lies; only a split one is put together.
      if (this.#filled === 0 && end - at >= length && this.#waysAt(bytes, at, at + length) !== 0) {
        readings = this.#take(bytes, at, readings);
        at += length;
        continue;
      }
      const byte = bytes[at++] ?? 0;
      const filled = this.#filled;
      const ways = this.#ways & (legal[(filled << 8) | byte] ?? 0);
      this.#frame[filled] = byte;
      if (ways === 0) this.#shift(filled + 1);
      else if (filled + 1 < length) {
        this.#filled = filled + 1;
        this.#ways = ways;
      } else {
        this.#filled = 0;
        this.#ways = ANY_WAY;
        readings = this.#take(this.#frame, 0, readings);
      }
    }
    return readings ?? NONE;
  }

  reset(): void {
    this.#filled = 0;
    this.#ways = ANY_WAY;
    this.#frames = 0;
    this.#skippedBytes = 0;
    this.#rejected = {};
  }

  /** Reads the frame at `at`; the list is made with the first reading. */
  #take(bytes: Uint8Array, at: number, readings: Reading[] | null): Reading[] | null {
    const result = this.#read(bytes, at);
    if (typeof result === "string") {
      this.#rejected[result] = (this.#rejected[result] ?? 0) + 1;
      return readings;
    }
    this.#frames++;
    if (readings === null) return [result];
    readings.push(result);
    return readings;
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
