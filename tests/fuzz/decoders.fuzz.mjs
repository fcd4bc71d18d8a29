/**
 * npm run fuzz [-- BYTES [PROTOCOL…]]: feeds every decoder so many random and mutated bytes (one
 * million without an argument) in chunks of 1 to 4,096 and checks what must always hold: no throw,
 * no endless loop, only sound readings, every byte accounted for. Ends with status 1 otherwise.
 */
import { protocols } from "../../dist/protocols/registry.js";
import { FLAGS, QUANTITIES, UNITS } from "../../dist/protocols/reading.js";
import { randomOf, streamIds, streamOf } from "./streams.mjs";

const [wanted = "1000000", ...ids] = process.argv.slice(2);
const total = Number(wanted.replaceAll("_", ""));
const seed = Number(process.env.FUZZ_SEED ?? 1);
const BLOCK = 1 << 16;
/** One chunk of 4,096 bytes takes well below a millisecond; this is a hang. */
const SLOWEST_MS = 2000;

const options = { first: "keep", notify: "2b18" };

function randomBlock(random) {
  return Uint8Array.from({ length: BLOCK }, () => random.next() >>> 11);
}

/** What has a meaning of its own in texts: random bytes alone seldom put two of them together. */
const MARKS = "##\"\"'',;:=+-.eE019L\r\n ";

/** A stream of frames with bits flipped, bytes lost, doubled and put in. */
function mutatedBlock(base, random) {
  const block = new Uint8Array(BLOCK);
  const every = 1 + random.below(200);
  let from = random.below(base.length);
  for (let at = 0; at < BLOCK; at++) {
    block[at] = base[from];
    from = (from + 1) % base.length;
    if (random.below(every) > 0) continue;
    const fate = random.below(5);
    if (fate === 0) block[at] ^= 1 << random.below(8);
    else if (fate === 1) from = (from + random.below(20)) % base.length;
    else if (fate === 2) from = (from + base.length - random.below(20)) % base.length;
    else if (fate === 3) block[at] = MARKS.charCodeAt(random.below(MARKS.length));
    else block[at] = random.next() >>> 11;
  }
  return block;
}

function checkReading(reading) {
  const { quantity, value, overload, unit, resolution, flags } = reading;
  const sound =
    QUANTITIES.includes(quantity) &&
    UNITS.includes(unit) &&
    flags.every((flag) => FLAGS.includes(flag)) &&
    (overload === false ? Number.isFinite(value) : value === null) &&
    (resolution === null || resolution > 0);
  if (!sound) throw new Error(`not a sound reading: ${JSON.stringify(reading)}`);
}

/** Frames of fixed length: every byte is in a frame, skipped, or still held. */
function checkAccount(protocol, { frames, skippedBytes, rejected }, pushed) {
  if (protocol.frameLength === null) return;
  const bad = Object.values(rejected).reduce((sum, count) => sum + count, 0);
  const held = pushed - (frames + bad) * protocol.frameLength - skippedBytes;
  if (held < 0 || held >= protocol.frameLength) throw new Error(`${held} bytes unaccounted for`);
}

function fuzz(protocol) {
  const random = randomOf(seed);
  const base = streamIds.includes(protocol.id) ? streamOf(protocol.id, 5000) : Buffer.of(1, 2, 3);
  const decoder = protocol.createDecoder(options);
  let pushed = 0;
  let readings = 0;
  let slowest = 0;
  while (pushed < total) {
    const block = random.below(2) === 0 ? randomBlock(random) : mutatedBlock(base, random);
    const longest = 1 + random.below(4096);
    for (let at = 0; at < block.length;) {
      const chunk = block.subarray(at, at + 1 + random.below(longest));
      const start = performance.now();
      for (const reading of decoder.push(chunk)) {
        checkReading(reading);
        readings++;
      }
      slowest = Math.max(slowest, performance.now() - start);
      at += chunk.length;
      pushed += chunk.length;
    }
    checkAccount(protocol, decoder.stats, pushed);
    if (slowest > SLOWEST_MS) throw new Error(`a chunk took ${slowest.toFixed(0)} ms`);
  }
  return { pushed, readings, slowest };
}

const chosen = [...protocols.values()].filter(({ id }) => ids.length === 0 || ids.includes(id));
for (const protocol of chosen) {
  try {
    const { pushed, readings, slowest } = fuzz(protocol);
    console.log(
      `${protocol.id}: ${pushed} bytes, ${readings} readings, slowest chunk ${slowest.toFixed(1)} ms`,
    );
  } catch (error) {
    console.error(`${protocol.id}, FUZZ_SEED=${seed}: ${error.stack}`);
    process.exitCode = 1;
  }
}
