/**
 * What meters send, as bytes, for benchmarks and fuzzing: volts whose last digits never rest. The
 * segment frame comes from the practice bench's encoder, the others are put together as text.
 */
import { encodeSegment14 } from "../../dist/protocols/segment-14/encode.js";

const display = { quantity: "voltage", coupling: "dc", prefix: "", decimals: 2, flags: ["auto"] };

/** By protocol: the bytes of one reading of so many hundredths of a volt (1000 to 9999). */
const frames = {
  "segment-14": (counts) => encodeSegment14({ ...display, counts }),
  "ascii-14": (counts) => `+${counts} 20\0\0\x80\x19\r\n`,
  "nibble-11": (counts) => `1${counts};00:\r\n`,
  "nibble-14": (counts) => `1${counts}2;000:0\r\n`,
  "ascii-line": (counts) => `+${(counts / 100).toFixed(2)} V DC\r\n`,
  scpi: (counts) => `+${(counts / 100).toFixed(2)}E+00\n`,
};

export const streamIds = Object.keys(frames);

/** The bytes of one reading. */
export function frameOf(id, counts) {
  const frame = frames[id](counts);
  return typeof frame === "string" ? Buffer.from(frame, "latin1") : Buffer.from(frame);
}

/** `count` readings of a protocol, one after the other. */
export function streamOf(id, count) {
  return Buffer.concat(
    Array.from({ length: count }, (_, n) => frameOf(id, 1000 + ((n * 37) % 8999))),
  );
}

/** Reproducible random numbers (xorshift, 32 bits). */
export function randomOf(seed) {
  let state = seed | 0 || 1;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state >>> 0;
  };
  return { next, below: (limit) => next() % limit };
}
