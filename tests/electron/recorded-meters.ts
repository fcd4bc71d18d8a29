import { mkdirSync, writeFileSync } from "node:fs";
import { dirname } from "node:path";
import type { Chunk } from "../../protocols/raw-log.js";
import { encodeBlock } from "../../protocols/raw-log/encode-block.js";
import { findProtocol } from "../../protocols/registry.js";
import { ChannelReader } from "../../protocols/timing/channel-reader.js";
import type { ChannelStep } from "../../protocols/timing/channel-reader.js";
import { asciiFrame, nibbleFrame, segmentFrame } from "../protocols/fixtures/meter-frames.js";

/** What a meter sent, and how its address says what it speaks. */
export interface Tape {
  readonly speaks: string;
  readonly chunks: readonly Chunk[];
}

/** How long all tapes are, seconds. */
const LENGTH_S = 17;

/** Volts: lifted, on the pack, lifted, on the brushes; silent for two seconds meanwhile. */
export const volts = (time_s: number): number | null => {
  const wobble = (Math.round(time_s * 5) % 3) / 100;
  if (time_s > 8.05 && time_s < 10.5) return null;
  if (time_s < 1 || (time_s >= 4.5 && time_s < 7.5)) return 0;
  return (time_s < 4.5 ? 9 : 8.5) + wobble;
};

/** Amperes, while the volts are lifted. */
export const amperes = (time_s: number): number => (time_s > 5 && time_s < 7 ? 2.5 : 0);

const nanoseconds = (time_s: number): bigint => BigInt(Math.round(time_s * 1e9));
const four = (value: number): string => value.toFixed(2).padStart(5, "0");
const latin = (text: string): Uint8Array => new Uint8Array(Buffer.from(text, "latin1"));

type Encode = (value: number) => Uint8Array;

/** Frames by protocol, of volts. */
export const encoders: Readonly<Record<string, Encode>> = {
  "segment-14": (value) => segmentFrame(four(value), "SEND AUTO DC V"),
  "ascii-14": (value) => asciiFrame(`+${four(value)}`, "AUTO DC V BAR"),
  "nibble-11": (value) =>
    nibbleFrame({
      range: 1,
      figures: four(value).replace(".", ""),
      dial: ";",
      status: 0,
      options: [0, 10],
    }),
  "ascii-line": (value) => latin(`${value.toFixed(2)} V DC\r\n`),
  /** Voltage in 1/64 V, little endian (Bluetooth SIG, 0x2B18). */
  "gatt&notify=2b18": (value) => {
    const counts = Math.round(value * 64);
    return Uint8Array.of(counts & 0xff, counts >> 8);
  },
};

export const ampereLine: Encode = (value) => latin(`${value.toFixed(2)} A DC\r\n`);

/**
 * A meter that sends five times a second, its bytes handed over by a cable that knows no frames:
 * four times a second what has come so far, so that some hand-overs hold two frames and most end in
 * the middle of one. Garbage at 3 s, and the cable was opened anew at 11 s.
 */
export function sendingTape(
  speaks: string,
  encode: Encode,
  shown: (time_s: number) => number | null,
  { garbage = true, phase_s = 0 } = {},
): Tape {
  const chunks: Chunk[] = [{ bytes: new Uint8Array(0), arrival_ns: nanoseconds(0.012) }];
  let held: number[] = [];
  for (let tick = 1; tick <= LENGTH_S * 20; tick++) {
    const time_s = tick / 20 + phase_s;
    const value = tick % 4 === 0 ? shown(time_s) : null;
    if (value !== null) held.push(...encode(value));
    if (garbage && tick === 60) held.push(0xff, 0x00, 0x31, 0x2e);
    if (tick === 220) chunks.push({ bytes: new Uint8Array(0), arrival_ns: nanoseconds(time_s) });
    if (tick % 5 !== 0 || held.length === 0) continue;
    const cut = garbage ? Math.max(1, held.length - (tick % 3)) : held.length;
    const arrival_ns = nanoseconds(time_s + ((tick * 7) % 11) / 1000);
    chunks.push({ bytes: Uint8Array.from(held.slice(0, cut)), arrival_ns });
    held = held.slice(cut);
  }
  return { speaks, chunks };
}

/** An instrument that is asked, its answers in two pieces each. */
export function askedTape(shown: (time_s: number) => number | null): Tape {
  const options = { function: "voltage-dc", interval_s: "0.2", timeout_s: "0.6" };
  const protocol = findProtocol("scpi");
  const reader = new ChannelReader({ channel: "a", protocol, options, origin_ns: 0n });
  const chunks: Chunk[] = [];
  const due: Chunk[] = [{ bytes: new Uint8Array(0), arrival_ns: nanoseconds(0.012) }];
  for (let wake_ns: bigint | null = null; ;) {
    const next = due[0];
    const isTimer: boolean = wake_ns !== null && (next === undefined || wake_ns < next.arrival_ns);
    const now_ns: bigint = isTimer ? (wake_ns ?? 0n) : (next?.arrival_ns ?? 0n);
    if (now_ns > nanoseconds(LENGTH_S) || (next === undefined && !isTimer)) break;
    if (!isTimer && next !== undefined) chunks.push(next);
    const step: ChannelStep = isTimer || next === undefined ? reader.wake() : reader.push(next);
    if (!isTimer) due.shift();
    wake_ns = step.wake_ns;
    for (const asked of step.write) due.push(...answers(asked, now_ns, shown));
  }
  const query = Object.entries(options).map(([name, value]) => `&${name}=${value}`);
  return { speaks: `scpi${query.join("")}`, chunks };
}

function answers(
  asked: Uint8Array,
  now_ns: bigint,
  shown: (time_s: number) => number | null,
): Chunk[] {
  const value = shown(Number(now_ns) / 1e9);
  return Buffer.from(asked)
    .toString("latin1")
    .split("\n")
    .flatMap((line, n) => {
      const text = answer(line, value);
      if (text === "") return [];
      const at_ns = now_ns + nanoseconds(0.02 * (n + 1));
      const half = Math.ceil(text.length / 2);
      return [
        { bytes: latin(text.slice(0, half)), arrival_ns: at_ns },
        { bytes: latin(text.slice(half)), arrival_ns: at_ns + 3_000_000n },
      ];
    });
}

function answer(line: string, value: number | null): string {
  if (line.startsWith("*IDN?")) return "Examplemaker,EX-1,DEMO-1,1.0\n";
  if (line.startsWith("*STB?")) return "0\n";
  if (line.startsWith("SYST:ERR?")) return '0,"No error"\n';
  return /^(READ|FETC|MEAS)/.test(line) && value !== null ? `${value.toFixed(2)}\n` : "";
}

/** Writes a trace as a job keeps it, in blocks of seven pieces. */
export function writeTape(path: string, channel: string, pieces: readonly Chunk[]): void {
  const blocks: Uint8Array[] = [];
  for (let at = 0; at < pieces.length; at += 7) {
    const chunks = pieces.slice(at, at + 7);
    blocks.push(encodeBlock({ channel, sequence: blocks.length, chunks }));
  }
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, Buffer.concat(blocks));
}
