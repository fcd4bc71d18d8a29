import type { Chunk } from "../raw-log.js";
import { blockChecksum } from "./encode-block.js";
import { HEADER_LENGTH, MARKER, MAX_BODY_LENGTH } from "./format.js";
import { BodyError, ByteReader } from "./reader.js";

/** What a trace holds at a place; `from` and `to` are byte offsets, `to` the first one behind. */
export type TraceItem =
  | {
      readonly kind: "block";
      readonly from: number;
      readonly to: number;
      readonly channel: string;
      readonly sequence: number;
      readonly chunks: readonly Chunk[];
    }
  /** Bytes between two blocks that are not a block: the place is damaged, the rest is good. */
  | { readonly kind: "damaged"; readonly from: number; readonly to: number }
  /** Bytes behind the last whole block: a write that did not finish. Cut them off and go on. */
  | { readonly kind: "torn"; readonly from: number; readonly to: number };

type Attempt = Extract<TraceItem, { kind: "block" }> | "not a block" | "need more";

/**
 * Reads a trace in pieces of any size. Never throws on content: what is not a whole block with a
 * right checksum is reported with its place, and reading goes on at the next block.
 */
export class BlockReader {
  #held: Uint8Array = new Uint8Array(0);
  /** Offset in the file of the first held byte. */
  #base = 0;
  /** Start of the bytes, before `#base`, that were found not to be a block; null if none. */
  #bad: number | null = null;

  push(bytes: Uint8Array): TraceItem[] {
    this.#held = joined(this.#held, bytes);
    return this.#read(false);
  }

  /** No more bytes come: the rest is a damaged length field in front of good blocks, or torn. */
  end(): TraceItem[] {
    const items = this.#read(true);
    const from = this.#bad ?? this.#base;
    const to = this.#base + this.#held.length;
    if (from < to) items.push({ kind: "torn", from, to });
    this.#base = to;
    this.#held = new Uint8Array(0);
    this.#bad = null;
    return items;
  }

  #read(atEnd: boolean): TraceItem[] {
    const items: TraceItem[] = [];
    let at = 0;
    while (at < this.#held.length) {
      const attempt = attemptBlock(this.#held, at, this.#base);
      if (attempt === "need more" && !atEnd) break;
      if (typeof attempt === "string") {
        this.#bad ??= this.#base + at;
        at = nextMarker(this.#held, at + 1);
        continue;
      }
      if (this.#bad !== null) items.push({ kind: "damaged", from: this.#bad, to: attempt.from });
      this.#bad = null;
      items.push(attempt);
      at += attempt.to - attempt.from;
    }
    this.#held = this.#held.slice(at);
    this.#base += at;
    return items;
  }
}

function attemptBlock(held: Uint8Array, at: number, base: number): Attempt {
  for (let n = 0; n < MARKER.length; n++) {
    const byte = held[at + n];
    if (byte === undefined) return "need more";
    if (byte !== MARKER[n]) return "not a block";
  }
  if (held.length < at + HEADER_LENGTH) return "need more";
  const view = new DataView(held.buffer, held.byteOffset + at);
  const bodyLength = view.getUint32(4, true);
  if (bodyLength > MAX_BODY_LENGTH) return "not a block";
  const length = HEADER_LENGTH + bodyLength;
  if (held.length < at + length) return "need more";
  const block = held.subarray(at, at + length);
  if (view.getUint32(8, true) !== blockChecksum(block)) return "not a block";
  try {
    const from = base + at;
    return { kind: "block", from, to: from + length, ...decodeBody(block.subarray(HEADER_LENGTH)) };
  } catch (thrown) {
    if (thrown instanceof BodyError) return "not a block";
    throw thrown;
  }
}

function decodeBody(body: Uint8Array): { channel: string; sequence: number; chunks: Chunk[] } {
  const reader = new ByteReader(body);
  const channel = String.fromCharCode(...reader.raw(reader.varint()));
  const sequence = reader.varint();
  const count = reader.varint();
  let arrival_ns = reader.uint64();
  if (count === 0 || count > MAX_BODY_LENGTH) throw new BodyError("impossible number of chunks");
  const steps = reader.column(count - 1);
  const lengths = reader.column(count);
  const chunks = lengths.map((length, index) => {
    if (index > 0) arrival_ns += BigInt(steps[index - 1] ?? 0);
    return { bytes: reader.raw(length), arrival_ns };
  });
  if (reader.rest > 0) throw new BodyError("bytes left over");
  return { channel, sequence, chunks };
}

/** Where the marker's first byte comes next at or after `at`; the end of the bytes if nowhere. */
function nextMarker(held: Uint8Array, at: number): number {
  const found = held.indexOf(MARKER[0] ?? 0, at);
  return found < 0 ? held.length : found;
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  if (a.length === 0) return b.slice();
  const both = new Uint8Array(a.length + b.length);
  both.set(a, 0);
  both.set(b, a.length);
  return both;
}
