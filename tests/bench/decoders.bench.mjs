/**
 * Frames a second of every serial-frame decoder against @serialport/parser-readline followed by
 * parseFloat on the same bytes. A frame of segments has no line end; there the peer splits at the
 * frame's last byte.
 */
import { once } from "node:events";
import { ReadlineParser } from "@serialport/parser-readline";
import { findProtocol } from "../../dist/protocols/registry.js";
import { streamIds, streamOf } from "../fuzz/streams.mjs";
import { compare, figure } from "./harness.mjs";

/**
 * So few that the chunks, an object for each byte, stay in the processor's cache, as a chunk does
 * that a port has just delivered.
 */
const FRAMES = 2_000;

/** Where the peer splits: at the line end, or at the last byte that all frames have in common. */
const delimiterOf = (id) => (id === "segment-14" ? Buffer.of(0xe0) : id === "scpi" ? "\n" : "\r\n");

function chunks(bytes, length) {
  const count = Math.ceil(bytes.length / length);
  return Array.from({ length: count }, (_, n) => bytes.subarray(n * length, (n + 1) * length));
}

function decodeWith(protocol, parts) {
  return () => {
    const decoder = protocol.createDecoder({ first: "keep" });
    let sum = 0;
    for (const part of parts) {
      const readings = decoder.push(part);
      for (let n = 0; n < readings.length; n++) sum += readings[n].value;
    }
    if (decoder.stats.frames !== FRAMES || !(sum > 0)) throw new Error("frames were lost");
    return FRAMES;
  };
}

function readlineWith(delimiter, parts) {
  return async () => {
    const parser = new ReadlineParser({ delimiter });
    let lines = 0;
    let sum = 0;
    parser.on("data", (line) => {
      lines++;
      sum += parseFloat(line) || 0;
    });
    for (const part of parts) if (!parser.write(part)) await once(parser, "drain");
    parser.end();
    await once(parser, "end");
    // Bytes that are no UTF-8 make the peer's decoder join lines; it is not held against it.
    if (lines < FRAMES / 2) throw new Error("lines were lost");
    return FRAMES;
  };
}

for (const id of streamIds) {
  const bytes = streamOf(id, FRAMES);
  const protocol = findProtocol(id);
  const isFrame = protocol.frameLength !== null;
  for (const [length, bar] of [
    [4096, 5],
    [1, 20],
  ]) {
    const parts = chunks(bytes, length);
    await compare({
      name: `${id}, chunks of ${length}`,
      unit: "frames",
      // The bars are for frames; lines are told for comparison.
      bar: isFrame ? bar : null,
      ours: decodeWith(protocol, parts),
      peer: readlineWith(delimiterOf(id), parts),
      peerName: "readline + parseFloat",
    });
  }
}

/** Garbage that never becomes a frame: what is allocated for it must not grow with it. */
let seed = 1;
const garbage = Uint8Array.from(
  { length: 1 << 16 },
  () => (seed = (seed * 48271) % 2147483647) >> 8,
);
for (const id of streamIds) {
  const protocol = findProtocol(id);
  if (protocol.frameLength === null) continue;
  const decoder = protocol.createDecoder();
  for (let n = 0; n < 20; n++) decoder.push(garbage);
  const skipped = decoder.stats.skippedBytes;
  globalThis.gc();
  const before = process.memoryUsage().heapUsed;
  for (let n = 0; n < 400; n++) decoder.push(garbage);
  const grown = process.memoryUsage().heapUsed - before;
  const bytesSkipped = decoder.stats.skippedBytes - skipped;
  figure({
    name: `${id}, ${bytesSkipped} skipped bytes`,
    value: Math.max(0, grown) / bytesSkipped,
    unit: "heap bytes a skipped byte",
    atMost: 0.01,
  });
}
