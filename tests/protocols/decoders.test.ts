import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Decoder } from "../../protocols/decoder.js";
import { findProtocol, protocols } from "../../protocols/registry.js";
import { captures } from "./fixtures/captures.js";

/** All readings of `bytes`, and where each ends, in chunks of the lengths given in turn. */
function decodeInChunks(decoder: Decoder, bytes: Uint8Array, lengths: readonly number[]) {
  const readings = [];
  const places: number[] = [];
  let at = 0;
  for (let n = 0; at < bytes.length; n++) {
    const length = lengths[n % lengths.length]!;
    const ends: number[] = [];
    readings.push(...decoder.push(bytes.subarray(at, at + length), ends));
    places.push(...ends.map((end) => at + end));
    at += length;
  }
  return { readings, places, stats: decoder.stats };
}

test("there is a capture for every protocol that decodes bytes", () => {
  const captured = new Set(captures.map(({ protocol }) => protocol));
  expect([...captured].sort()).toEqual([...protocols.keys()].sort());
});

describe.each(captures)("$protocol", ({ protocol, options, bytes, expected }) => {
  const create = () => findProtocol(protocol).createDecoder(options);
  const decode = (lengths: readonly number[], input = bytes) =>
    decodeInChunks(create(), input, lengths);
  const whole = decode([bytes.length]);

  test("reads the capture, whole", () => {
    expect(whole.readings).toMatchObject(expected);
    expect(whole.readings).toHaveLength(expected.length);
    expect(whole.stats).toMatchObject({ skippedBytes: 0, rejected: {} });
  });

  test("says of each reading which byte made it whole", () => {
    const decoder = create();
    const places = [...bytes].flatMap((byte, at) =>
      decoder.push(Uint8Array.of(byte)).map(() => at + 1),
    );
    expect(whole.places).toEqual(places);
  });

  test("the same at every split point", () => {
    for (let split = 1; split < bytes.length; split++) {
      expect(decode([split, bytes.length])).toEqual(whole);
    }
  });

  test("the same in chunks of 1 to 4,096 bytes", () => {
    const repeats = Math.ceil(8192 / bytes.length);
    const long = new Uint8Array(Buffer.concat(Array<Uint8Array>(repeats).fill(bytes)));
    const all = JSON.stringify(decode([long.length], long));
    for (let length = 1; length <= 4096; length = Math.ceil(length * 1.13)) {
      expect(JSON.stringify(decode([length], long))).toBe(all);
    }
    expect(JSON.stringify(decode([4096], long))).toBe(all);
  });

  test("any bytes in any chunks: no throw, and the chunks make no difference", () => {
    const anything = fc.oneof(
      fc.uint8Array({ maxLength: 300 }),
      fc
        .tuple(fc.uint8Array({ maxLength: 20 }), fc.nat(bytes.length), fc.uint8Array())
        .map(([a, cut, b]) => new Uint8Array(Buffer.concat([a, bytes.subarray(cut), b, bytes]))),
    );
    const lengths = fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1 });
    fc.assert(
      fc.property(anything, lengths, (input, chunkLengths) => {
        expect(decode(chunkLengths, input)).toEqual(decode([input.length || 1], input));
      }),
    );
  });

  test("after a reset it is as new", () => {
    const decoder = create();
    decoder.push(bytes.subarray(0, bytes.length - 3));
    decoder.reset();
    expect(decoder.stats).toEqual({ frames: 0, skippedBytes: 0, rejected: {} });
    expect(decodeInChunks(decoder, bytes, [bytes.length])).toEqual(whole);
  });

  // Values without framing have nothing to fall into step by; a radio loses no single byte.
  if (findProtocol(protocol).isUnframed) return;

  test("a lost byte costs at most two frames, and the rest is read", () => {
    const long = new Uint8Array(Buffer.concat([bytes, bytes, bytes]));
    for (let at = 0; at < bytes.length; at++) {
      const lost = new Uint8Array(Buffer.concat([long.subarray(0, at), long.subarray(at + 1)]));
      const { readings } = decode([long.length], lost);
      expect(readings.length).toBeGreaterThanOrEqual(3 * expected.length - 2);
      expect(readings.slice(-expected.length)).toMatchObject(expected);
    }
  });
});
