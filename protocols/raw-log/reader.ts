/** Takes fields off a block's body; throws `BodyError` where the body is too short or not ours. */
export class ByteReader {
  readonly #bytes: Uint8Array;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get rest(): number {
    return this.#bytes.length - this.#at;
  }

  byte(): number {
    const value = this.#bytes[this.#at];
    if (value === undefined) throw new BodyError("too short");
    this.#at++;
    return value;
  }

  raw(length: number): Uint8Array {
    if (length > this.rest) throw new BodyError("too short");
    const part = this.#bytes.slice(this.#at, this.#at + length);
    this.#at += length;
    return part;
  }

  varint(): number {
    let value = 0;
    for (let weight = 1; weight < 2 ** 53; weight *= 0x80) {
      const byte = this.byte();
      value += (byte & 0x7f) * weight;
      if (byte < 0x80) return value;
    }
    throw new BodyError("number too long");
  }

  uint64(): bigint {
    let value = 0n;
    for (let shift = 0n; shift < 64n; shift += 8n) value |= BigInt(this.byte()) << shift;
    return value;
  }

  column(count: number): number[] {
    const smallest = this.varint();
    const width = this.byte();
    if (width > MAX_WIDTH) throw new BodyError("column too wide");
    const values: number[] = [];
    let held = 0;
    let bits = 0;
    for (let n = 0; n < count; n++) {
      for (; bits < width; bits += 8) held += this.byte() * 2 ** bits;
      values.push(smallest + (held % 2 ** width));
      held = Math.floor(held / 2 ** width);
      bits -= width;
    }
    return values;
  }
}

/** 2^46 ns is 19 hours between two chunks of one block; wider would not be exact in a double. */
export const MAX_WIDTH = 46;

/** The checksum was right and the content is not: written by something else. */
export class BodyError extends Error {}
