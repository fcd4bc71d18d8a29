import type { Decoder, DecoderStats } from "../decoder.js";
import type { Reading } from "../reading.js";

/** The shape of a frame of fixed length: which byte may stand where. */
export interface FrameForm {
  readonly length: number;
  /** `legal[position * 256 + byte]` is 1 where the byte may stand at the position. */
  readonly legal: Uint8Array;
}

/** A frame of the right form as a reading, or the reason why it cannot be one. */
export type ReadFrame = (frame: Uint8Array) => Reading | string;

export function formOf(
  length: number,
  isLegal: (position: number, byte: number) => boolean,
): FrameForm {
  const legal = new Uint8Array(length * 256);
  for (let at = 0; at < legal.length; at++) legal[at] = isLegal(at >> 8, at & 0xff) ? 1 : 0;
  return { length, legal };
}

const NONE: readonly Reading[] = [];

/**
 * Finds frames of fixed length in a stream by their form alone, so that it falls into step again
 * at the first whole frame after any damage. One byte costs one table look-up, no allocation.
 */
export class FrameDecoder implements Decoder {
  readonly #form: FrameForm;
  readonly #read: ReadFrame;
  readonly #frame: Uint8Array;
  #filled = 0;
  #frames = 0;
  #skippedBytes = 0;
  #rejected: Record<string, number> = {};

  constructor(form: FrameForm, read: ReadFrame) {
    this.#form = form;
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
    const { length, legal } = this.#form;
    const frame = this.#frame;
    let filled = this.#filled;
    let readings: Reading[] | null = null;
    for (const byte of bytes) {
      frame[filled] = byte;
      if (legal[(filled << 8) | byte] === 0) filled = this.#shift(filled + 1);
      else if (++filled === length) {
        filled = 0;
        const result = this.#read(frame);
        if (typeof result === "string") this.#reject(result);
        else {
          this.#frames++;
          if (readings === null) readings = [result];
          else readings.push(result);
        }
      }
    }
    this.#filled = filled;
    return readings ?? NONE;
  }

  reset(): void {
    this.#filled = 0;
    this.#frames = 0;
    this.#skippedBytes = 0;
    this.#rejected = {};
  }

  /** Drops bytes from the front until what is left can be the start of a frame again. */
  #shift(held: number): number {
    const frame = this.#frame;
    for (let dropped = 1; dropped < held; dropped++) {
      if (!this.#startsAt(dropped, held)) continue;
      frame.copyWithin(0, dropped, held);
      this.#skippedBytes += dropped;
      return held - dropped;
    }
    this.#skippedBytes += held;
    return 0;
  }

  #startsAt(start: number, end: number): boolean {
    const { legal } = this.#form;
    for (let at = start; at < end; at++) {
      if (legal[((at - start) << 8) | (this.#frame[at] ?? 0)] === 0) return false;
    }
    return true;
  }

  #reject(reason: string): void {
    this.#rejected[reason] = (this.#rejected[reason] ?? 0) + 1;
  }
}
