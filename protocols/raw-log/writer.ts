/** Collects bytes; grows as needed. */
export class ByteWriter {
  #bytes = new Uint8Array(256);
  #length = 0;

  byte(value: number): void {
    this.#reserve(1);
    this.#bytes[this.#length++] = value;
  }

  raw(bytes: Uint8Array): void {
    this.#reserve(bytes.length);
    this.#bytes.set(bytes, this.#length);
    this.#length += bytes.length;
  }

  /** Unsigned LEB128: seven bits a byte, lowest first. */
  varint(value: number): void {
    let rest = value;
    while (rest >= 0x80) {
      this.byte((rest % 0x80) + 0x80);
      rest = Math.floor(rest / 0x80);
    }
    this.byte(rest);
  }

  uint64(value: bigint): void {
    for (let shift = 0n; shift < 64n; shift += 8n) this.byte(Number((value >> shift) & 0xffn));
  }

  /** Whole numbers below 2^53 as a column (see format.ts). */
  column(values: readonly number[]): void {
    const smallest = values.length === 0 ? 0 : values.reduce((a, b) => Math.min(a, b));
    const largest = values.reduce((a, b) => Math.max(a, b), smallest);
    const width = bitsOf(largest - smallest);
    this.varint(smallest);
    this.byte(width);
    let held = 0;
    let bits = 0;
    for (const value of values) {
      // At most 7 bits are held over, so that the sum stays exact up to 46 bits of width.
      held += (value - smallest) * 2 ** bits;
      bits += width;
      for (; bits >= 8; bits -= 8) {
        this.byte(held % 256);
        held = Math.floor(held / 256);
      }
    }
    if (bits > 0) this.byte(held);
  }

  done(): Uint8Array {
    return this.#bytes.slice(0, this.#length);
  }

  #reserve(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const grown = new Uint8Array(Math.max(this.#bytes.length * 2, this.#length + more));
    grown.set(this.#bytes.subarray(0, this.#length));
    this.#bytes = grown;
  }
}

function bitsOf(value: number): number {
  let bits = 0;
  for (let rest = value; rest >= 1; rest = Math.floor(rest / 2)) bits++;
  return bits;
}
