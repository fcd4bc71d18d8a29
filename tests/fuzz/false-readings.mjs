/**
 * npm run false-readings [-- BYTES]: how many readings a million bytes of garbage make, for every
 * protocol, with and without its checks. Prints the table of docs/protocols.md.
 *
 * - noise: random bytes, as of a line at the wrong speed.
 * - right form, random content: frames whose framing is right and whose content is random.
 * - damaged: good frames in which one byte of a hundred has one bit flipped; counted are readings
 *   that differ from those of the undamaged stream.
 */
import { protocols } from "../../dist/protocols/registry.js";
import { frameOf, randomOf, streamIds, streamOf } from "./streams.mjs";

const total = Number((process.argv[2] ?? "20000000").replaceAll("_", ""));
const BLOCK = 1 << 16;

/** Each byte replaced by one that may stand there: the form stays, the content is random. */
const scramble = {
  "segment-14": (byte, _at, random) => (byte & 0xf0) | random.below(16),
  "ascii-14": (byte, at, random) => {
    if (at === 0) return random.below(2) ? 0x2b : 0x2d;
    if (at < 5) return random.below(40) ? 0x30 + random.below(10) : 0x3f;
    if (at === 6) return 0x30 + [0, 1, 2, 4][random.below(4)];
    if (at < 7 || at > 11) return byte;
    return random.below(256) & ~([0xc0, 0xc1, 0x01][at - 7] ?? 0);
  },
  "nibble-11": (byte, at, random) => nibble(byte, at, 4, random),
  "nibble-14": (byte, at, random) => nibble(byte, at, 5, random),
  "ascii-line": (byte, _at, random) => letter(byte, random),
  scpi: (byte, _at, random) => letter(byte, random),
};

function nibble(byte, at, digits, random) {
  if (byte < 0x20) return byte;
  return at >= 1 && at <= digits ? 0x30 + random.below(10) : 0x30 + random.below(16);
}

const LETTERS = "0123456789+-. VADCmkOLE";

function letter(byte, random) {
  return byte < 0x20 ? byte : LETTERS.charCodeAt(random.below(LETTERS.length));
}

/** What a reader without checks takes for a reading: any frame length, any line with a number. */
function naiveCount(id, bytes) {
  const { frameLength } = protocols.get(id);
  if (id === "segment-14") return Math.floor(bytes.length / frameLength);
  if (frameLength === null) {
    const lines = Buffer.from(bytes).toString("latin1").split("\n");
    return lines.filter((line) => Number.isFinite(parseFloat(line))).length;
  }
  let count = 0;
  for (let at = frameLength - 1; at < bytes.length; at++) {
    if (bytes[at] === 0x0a && bytes[at - 1] === 0x0d) count++;
  }
  return count;
}

function* noise(random) {
  for (;;) yield Uint8Array.from({ length: BLOCK }, () => random.next() >>> 11);
}

function* scrambled(id, random) {
  const base = streamOf(id, 4000);
  const { frameLength } = protocols.get(id);
  const at = (n) => (frameLength === null ? 0 : n % frameLength);
  for (;;) yield Uint8Array.from(base, (byte, n) => scramble[id](byte, at(n), random));
}

function measure(id, source) {
  const decoder = protocols.get(id).createDecoder({ first: "keep" });
  let bytes = 0;
  let naive = 0;
  let readings = 0;
  for (const block of source) {
    readings += decoder.push(block).length;
    naive += naiveCount(id, block);
    bytes += block.length;
    if (bytes >= total) break;
  }
  const rejected = Object.values(decoder.stats.rejected).reduce((sum, count) => sum + count, 0);
  const million = bytes / 1e6;
  return { naive: naive / million, form: (readings + rejected) / million, all: readings / million };
}

/** Readings of a damaged stream of one and the same reading that are another, a million bytes. */
function measureDamaged(id, random) {
  const base = Buffer.concat(Array(4000).fill(frameOf(id, 1794)));
  const [truth] = decodeAll(id, base);
  let wrong = 0;
  let bytes = 0;
  while (bytes < total / 4) {
    const damaged = Uint8Array.from(base, (byte) =>
      random.below(100) === 0 ? byte ^ (1 << random.below(8)) : byte,
    );
    for (const reading of decodeAll(id, damaged)) if (reading !== truth) wrong++;
    bytes += base.length;
  }
  return wrong / (bytes / 1e6);
}

function decodeAll(id, bytes) {
  const decoder = protocols.get(id).createDecoder({ first: "keep" });
  return decoder.push(bytes).map((reading) => JSON.stringify(reading));
}

const told = (rate) =>
  rate === 0
    ? `below ${(1e6 / total).toFixed(2)}`
    : rate >= 100
      ? Math.round(rate).toLocaleString("en")
      : rate.toPrecision(2);

console.log(
  "| protocol | noise: no checks | noise: form | noise: all checks | right form, random content: form | all checks | damaged: wrong readings |",
);
console.log("| --- | --- | --- | --- | --- | --- | --- |");
for (const id of streamIds) {
  const random = randomOf(11);
  const garbage = measure(id, noise(random));
  const shaped = measure(id, scrambled(id, random));
  const cells = [garbage.naive, garbage.form, garbage.all, shaped.form, shaped.all].map(told);
  console.log(`| ${id} | ${cells.join(" | ")} | ${told(measureDamaged(id, random))} |`);
}
