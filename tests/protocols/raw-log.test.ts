import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Chunk } from "../../protocols/raw-log.js";
import { BlockReader } from "../../protocols/raw-log/block-reader.js";
import type { TraceItem } from "../../protocols/raw-log/block-reader.js";
import { wholeChunks } from "../../protocols/raw-log/whole-chunks.js";
import { encodeBlock } from "../../protocols/raw-log/encode-block.js";

const chunksArbitrary = fc
  .array(
    fc.record({
      step: fc.oneof(fc.constant(0), fc.nat({ max: 3_000_000 }), fc.maxSafeNat()),
      bytes: fc.uint8Array({ maxLength: 40 }),
    }),
    { minLength: 1, maxLength: 30 },
  )
  .map((parts): Chunk[] => {
    let arrival_ns = 0n;
    return parts.map(({ step, bytes }) => {
      arrival_ns += BigInt(step % 2 ** 45);
      return { bytes, arrival_ns };
    });
  });

function readAll(trace: Uint8Array, pieceLength = trace.length || 1): TraceItem[] {
  const reader = new BlockReader();
  const items: TraceItem[] = [];
  for (let at = 0; at < trace.length; at += pieceLength) {
    items.push(...reader.push(trace.subarray(at, at + pieceLength)));
  }
  return [...items, ...reader.end()];
}

function block(sequence: number, text = `block ${sequence}`): Uint8Array {
  const bytes = new TextEncoder().encode(text);
  return encodeBlock({ channel: "a", sequence, chunks: [{ bytes, arrival_ns: 5n }] });
}

const concat = (...parts: Uint8Array[]) => new Uint8Array(Buffer.concat(parts));

describe("blocks of a trace", () => {
  test("give back every chunk with its arrival, whatever the pieces they are read in", () => {
    fc.assert(
      fc.property(chunksArbitrary, fc.integer({ min: 1, max: 70 }), (chunks, pieceLength) => {
        const trace = concat(
          encodeBlock({ channel: "volts-1", sequence: 0, chunks }),
          encodeBlock({ channel: "volts-1", sequence: 300, chunks }),
        );
        const items = readAll(trace, pieceLength);
        expect(items).toMatchObject([
          { kind: "block", channel: "volts-1", sequence: 0, chunks },
          { kind: "block", channel: "volts-1", sequence: 300, chunks, to: trace.length },
        ]);
      }),
    );
  });

  test("a tail cut anywhere is reported as torn from the start of its block", () => {
    const first = block(0);
    const second = block(1);
    for (let cut = 1; cut < second.length; cut++) {
      const items = readAll(concat(first, second.subarray(0, cut)));
      expect(items).toMatchObject([
        { kind: "block", sequence: 0 },
        { kind: "torn", from: first.length, to: first.length + cut },
      ]);
    }
  });

  test("any flipped bit costs its block alone, and the place is named", () => {
    const [a, b, c] = [block(0), block(1), block(2)];
    for (let bit = 0; bit < b.length * 8; bit++) {
      const trace = concat(a, b, c);
      const at = a.length + (bit >> 3);
      trace[at] = trace[at]! ^ (1 << (bit & 7));
      expect(readAll(trace, 7)).toMatchObject([
        { kind: "block", sequence: 0 },
        { kind: "damaged", from: a.length, to: a.length + b.length },
        { kind: "block", sequence: 2 },
      ]);
    }
  });

  test("garbage in front and behind is told apart from blocks", () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 99 }), (garbage) => {
        const good = block(0);
        expect(readAll(concat(garbage, good, garbage), 13)).toMatchObject([
          { kind: "damaged", from: 0, to: garbage.length },
          { kind: "block", from: garbage.length },
          { kind: "torn", from: garbage.length + good.length },
        ]);
      }),
    );
  });

  test("cost at most a fifth more than the raw bytes at 1,000 readings of 15 bytes a second", () => {
    // Arrivals on a 1 ms tick with up to 1 ms of jitter, blocks of 100 ms.
    let seed = 1;
    const jitter_ns = () => (seed = (seed * 48271) % 2147483647) % 1_000_000;
    let raw = 0;
    let kept = 0;
    for (let sequence = 0; sequence < 100; sequence++) {
      const chunks = Array.from({ length: 100 }, (_, n) => ({
        bytes: new Uint8Array(15),
        arrival_ns: BigInt((sequence * 100 + n) * 1_000_000 + jitter_ns()),
      }));
      raw += 1500;
      kept += encodeBlock({ channel: "a", sequence, chunks }).length;
    }
    expect(kept / raw).toBeLessThanOrEqual(1.2);
  });

  test("refuse what the format has no place for", () => {
    const chunk = (arrival_ns: bigint): Chunk => ({ bytes: new Uint8Array(1), arrival_ns });
    const encode = (channel: string, chunks: Chunk[]) => () =>
      encodeBlock({ channel, sequence: 0, chunks });
    expect(encode("a", [])).toThrow("job/trace-block");
    expect(encode("é", [chunk(0n)])).toThrow("job/trace-block");
    expect(encode("a", [chunk(1n), chunk(0n)])).toThrow("job/trace-block");
    expect(encode("a", [chunk(0n), chunk(1n << 46n)])).toThrow("job/trace-block");
  });
});

describe("pieces of one arrival", () => {
  test("are one chunk again, into however many they were cut; an opening parts them", async () => {
    const piece = fc.record({
      arrival: fc.nat({ max: 3 }),
      bytes: fc.oneof(
        fc.constant(new Uint8Array(0)),
        fc.uint8Array({ minLength: 1, maxLength: 9 }),
      ),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(piece), fc.integer({ min: 1, max: 4 }), async (parts, size) => {
        const chunks = parts
          .sort((a, b) => a.arrival - b.arrival)
          .map(({ arrival, bytes }) => ({ bytes, arrival_ns: BigInt(arrival) }));
        const whole = await wholeOf(chunks);
        expect(await wholeOf(cutUp(chunks, size))).toEqual(whole);
        expect(concat(...whole.map(({ bytes }) => bytes))).toEqual(
          concat(...chunks.map(({ bytes }) => bytes)),
        );
        const marks = (all: readonly Chunk[]) => all.filter(({ bytes }) => bytes.length === 0);
        expect(marks(whole)).toEqual(marks(chunks));
        for (const [n, { bytes, arrival_ns }] of whole.entries()) {
          const before = whole[n - 1];
          if (before === undefined || before.bytes.length * bytes.length === 0) continue;
          expect(arrival_ns).toBeGreaterThan(before.arrival_ns);
        }
      }),
    );
  });
});

async function wholeOf(pieces: readonly Chunk[]): Promise<Chunk[]> {
  const whole: Chunk[] = [];
  // eslint-disable-next-line @typescript-eslint/require-await -- where it comes from is a disk
  async function* source(): AsyncGenerator<Chunk> {
    yield* pieces;
  }
  for await (const chunk of wholeChunks(source())) whole.push(chunk);
  return whole;
}

function cutUp(chunks: readonly Chunk[], size: number): Chunk[] {
  return chunks.flatMap(({ bytes, arrival_ns }) =>
    Array.from({ length: Math.max(1, Math.ceil(bytes.length / size)) }, (_, n) => ({
      bytes: bytes.slice(n * size, (n + 1) * size),
      arrival_ns,
    })),
  );
}
