/**
 * Frames a second of every serial-frame decoder against @serialport/parser-readline followed by
 * parseFloat on the same bytes. A frame of segments has no line end; there the peer splits at the
 * frame's last byte.
 */
import { once } from "node:events";
import { ReadlineParser } from "@serialport/parser-readline";
import { findProtocol } from "../../dist/protocols/registry.js";
import { encodeSegment14 } from "../../dist/protocols/segment-14/encode.js";
import { compare, figure } from "./harness.mjs";

const FRAMES = 20_000;

/** Readings as a meter sends them: the last digits never rest. */
function stream(frameOf) {
  const frames = Array.from({ length: FRAMES }, (_, n) =>
    bytesOf(frameOf(1000 + ((n * 37) % 997))),
  );
  return Buffer.concat(frames);
}

function bytesOf(frame) {
  return typeof frame === "string" ? Buffer.from(frame, "latin1") : Buffer.from(frame);
}

const display = { quantity: "voltage", coupling: "dc", prefix: "", decimals: 2, flags: ["auto"] };
const streams = {
  "segment-14": {
    bytes: stream((counts) => encodeSegment14({ ...display, counts })),
    delimiter: Buffer.of(0xe0),
  },
  "ascii-14": { bytes: stream((counts) => `+${counts} 20\0\0\x80\x19\r\n`), delimiter: "\r\n" },
  "nibble-11": { bytes: stream((counts) => `1${counts};00:\r\n`), delimiter: "\r\n" },
  "nibble-14": { bytes: stream((counts) => `1${counts}2;000:0\r\n`), delimiter: "\r\n" },
  "ascii-line": { bytes: stream((counts) => `+${counts / 100} V DC\r\n`), delimiter: "\r\n" },
  scpi: { bytes: stream((counts) => `+${counts / 100}E+00\n`), delimiter: "\n" },
};

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

for (const [id, { bytes, delimiter }] of Object.entries(streams)) {
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
      peer: readlineWith(delimiter, parts),
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
for (const id of Object.keys(streams)) {
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
