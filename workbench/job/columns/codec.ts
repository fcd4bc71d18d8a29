import { crc32, deflateRawSync, inflateRawSync } from "node:zlib";
import { OVER, type ColumnBlock, type Face, type ReadBlock } from "./block.js";
import { decodeSums, encodePlanes, OpenPlanes, type Plane } from "./planes.js";

/**
 * One block of a cache of readings, all numbers little endian:
 *
 * | bytes | field                                                          |
 * | ----- | -------------------------------------------------------------- |
 * | 4     | length of what follows the checksum                            |
 * | 4     | CRC-32 of what follows                                         |
 * | 4     | length of the head                                             |
 * |       | head, JSON: see `Head`                                         |
 * |       | planes of times, planes of counts, floats deflated              |
 *
 * Times are coded as what is left of a straight line of `step_us` a reading, or where that is
 * larger (gaps) as steps; counts as steps from the one before.
 */
interface Head {
  readonly face: Face;
  readonly start_us: number;
  /** null: times are coded as steps. */
  readonly step_us: number | null;
  readonly count: number;
  readonly times: readonly PlaneSize[];
  /** The first of the counts; the planes hold the steps from it. */
  readonly first: number;
  readonly counts: readonly PlaneSize[];
  readonly floats: number;
  /** How many readings are overload, and the planes of where they are. */
  readonly overs: number;
  readonly over: readonly PlaneSize[];
}

/** Bytes of a plane, and how many numbers are in one of them unpacked. */
type PlaneSize = readonly [bytes: number, inByte: number];

function sizeOf({ packed, inByte }: Plane): PlaneSize {
  return [packed.length, inByte];
}

export function encodeBlock(block: ColumnBlock): Uint8Array {
  const { face, start_us, time_us, floats } = block;
  const line = alongLine(time_us);
  const times = encodePlanes(line.values);
  const whole = withoutOver(block.counts);
  const first = whole[0] ?? 0;
  const counts = encodePlanes(steps(whole, first));
  const overs = indicesOfOver(block.counts);
  const over = encodePlanes(steps(overs));
  const packed = floats === null ? EMPTY : deflateRawSync(bytesOf(floats));
  const head: Head = {
    face,
    start_us,
    step_us: line.step_us,
    count: time_us.length,
    times: times.map(sizeOf),
    first,
    counts: counts.map(sizeOf),
    floats: packed.length,
    overs: overs.length,
    over: over.map(sizeOf),
  };
  const parts = [...times, ...counts, { packed }, ...over];
  return framed(
    head,
    parts.map((part) => part.packed),
  );
}

const EMPTY = new Uint8Array(0);

function framed(head: object, parts: readonly Uint8Array[]): Uint8Array {
  const text = new TextEncoder().encode(JSON.stringify(head));
  const length = parts.reduce((sum, part) => sum + part.length, 4 + text.length);
  const out = new Uint8Array(8 + length);
  const view = new DataView(out.buffer);
  view.setUint32(0, length, true);
  view.setUint32(8, text.length, true);
  out.set(text, 12);
  let at = 12 + text.length;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  view.setUint32(4, crc32(out.subarray(8)), true);
  return out;
}

/** The block that begins at `at` and where it ends. Throws where it is not whole. */
export function decodeBlock(bytes: Uint8Array, at: number): { block: ReadBlock; end: number } {
  const view = new DataView(bytes.buffer, bytes.byteOffset + at);
  const end = at + 8 + view.getUint32(0, true);
  if (end > bytes.length) throw new RangeError("the cache ends early");
  if (crc32(bytes.subarray(at + 8, end)) !== view.getUint32(4, true)) {
    throw new RangeError("the cache is damaged");
  }
  const from = at + 12 + view.getUint32(8, true);
  const text = new TextDecoder().decode(bytes.subarray(at + 12, from));
  const head = JSON.parse(text) as Head;
  const cut = cutter(bytes, from);
  const timeAt_us = timesOf(head, cut(head.times));
  const counts = decodeSums(cut(head.counts), head.count, head.first);
  const [{ packed } = { packed: EMPTY }] = cut([[head.floats, 1]]);
  const over = decodeSums(cut(head.over), head.overs);
  for (const index of over) counts[index] = OVER;
  const floats = head.face.exponent === null ? floatsOf(packed) : null;
  return { block: { face: head.face, start_us: head.start_us, timeAt_us, counts, floats }, end };
}

function timesOf({ step_us, count }: Head, planes: readonly Plane[]): (n: number) => number {
  if (step_us === null) {
    const times = decodeSums(planes, count);
    return (n) => times[n] ?? 0;
  }
  const besideLine = new OpenPlanes(planes, count);
  return (n) => besideLine.at(n) + n * step_us;
}

function cutter(bytes: Uint8Array, from: number): (sizes: readonly PlaneSize[]) => Plane[] {
  let at = from;
  return (sizes) =>
    sizes.map(([length, inByte]) => {
      at += length;
      return { packed: bytes.subarray(at - length, at), inByte };
    });
}

/** Times less a straight line through the first and the last; steps where those are smaller. */
function alongLine(time_us: Int32Array): { values: Int32Array; step_us: number | null } {
  const count = time_us.length;
  const step_us = count < 2 ? 0 : Math.round((time_us[count - 1] ?? 0) / (count - 1));
  const values = new Int32Array(count);
  let wide = 0;
  for (let n = 0; n < count; n++) {
    const left = (time_us[n] ?? 0) - n * step_us;
    values[n] = left;
    wide |= left < 0 ? ~left : left;
  }
  if (wide < 1 << 14) return { values, step_us };
  return { values: steps(time_us), step_us: null };
}

function steps(values: Int32Array, from = 0): Int32Array {
  const out = new Int32Array(values.length);
  let before = from;
  for (let n = 0; n < values.length; n++) {
    const value = values[n] ?? 0;
    out[n] = value - before;
    before = value;
  }
  return out;
}

/** Overload repeats the count before it, so that it costs no jump. */
function withoutOver(counts: Int32Array): Int32Array {
  if (!counts.includes(OVER)) return counts;
  const out = counts.slice();
  let before = 0;
  for (let n = 0; n < out.length; n++) {
    if (out[n] === OVER) out[n] = before;
    before = out[n] ?? 0;
  }
  return out;
}

/** Where the meter showed overload; nearly always nowhere, which one quick search tells. */
function indicesOfOver(counts: Int32Array): Int32Array {
  const indices: number[] = [];
  for (let n = counts.indexOf(OVER); n >= 0; n = counts.indexOf(OVER, n + 1)) indices.push(n);
  return Int32Array.from(indices);
}

function bytesOf(floats: Float64Array): Uint8Array {
  return new Uint8Array(floats.buffer, floats.byteOffset, floats.byteLength);
}

function floatsOf(packed: Uint8Array): Float64Array {
  const bytes = inflateRawSync(packed);
  return new Float64Array(new Uint8Array(bytes).buffer);
}
