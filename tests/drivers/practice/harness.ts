import { createPracticeBench } from "../../../drivers/practice/bench.js";
import type { HandRequest, PracticeOptions } from "../../../drivers/practice/bench.js";
import { systemClock } from "../../../drivers/clock.js";
import { findProtocol } from "../../../protocols/registry.js";
import type { Reading } from "../../../protocols/reading.js";

export const REST: HandRequest["condition"] = {
  trigger: "released",
  pack: "out",
  charger: "unplugged",
  shaft: "still",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
};

export const VOLTS: HandRequest["dial"] = { quantity: "voltage", coupling: "dc" };
export const OHMS: HandRequest["dial"] = { quantity: "resistance", coupling: null };

export function ask(
  red: string,
  black: string,
  change: Partial<HandRequest["condition"]> = {},
  dial: HandRequest["dial"] = VOLTS,
  action: HandRequest["action"] = "touch",
): HandRequest {
  return { red, black, condition: { ...REST, ...change }, dial, action };
}

export interface Heard extends Reading {
  readonly time_s: number;
}

/** At which simulated second the hand is told what. */
export type Script = readonly (readonly [number, HandRequest])[];

export interface Played {
  readonly readings: readonly Heard[];
  readonly bytes: Uint8Array;
  readonly rejected: Readonly<Record<string, number>>;
  readonly bench: ReturnType<typeof createPracticeBench>;
}

const STEADY = { reversed: 0, rubbing: 0 };

/** Plays a script at once through the normal decoder, up to `until_s`. */
export async function play(
  script: Script,
  until_s: number,
  options: Partial<PracticeOptions> & { readonly channel?: "a" | "b" } = {},
): Promise<Played> {
  const bench = createPracticeBench({
    kind: "cordless-brushed",
    faults: [],
    seed: 1,
    pace: "at-once",
    clock: systemClock,
    habits: STEADY,
    ...options,
  });
  const decoder = findProtocol(options.protocol ?? "segment-14").createDecoder();
  const link = bench.link(options.channel);
  const readings: Heard[] = [];
  const bytes: number[] = [];
  const left = [...script];
  await new Promise<void>((resolve, reject) => {
    link.onClosed = () => resolve();
    link.onChunk = (chunk) => {
      const time_s = Number(chunk.arrival_ns) / 1e9;
      bytes.push(...chunk.bytes);
      for (const reading of decoder.push(chunk.bytes)) readings.push({ ...reading, time_s });
      for (let next = left[0]; next && next[0] <= time_s; next = left[0]) {
        bench.follow(next[1]);
        left.shift();
      }
      if (time_s > until_s) void link.close();
    };
    link.open().catch(reject);
  });
  return { readings, bytes: Uint8Array.from(bytes), rejected: decoder.stats.rejected, bench };
}

/** The last reading before this second. */
export function at(played: Played, time_s: number): Heard {
  const found = played.readings.filter((reading) => reading.time_s <= time_s).at(-1);
  if (found === undefined) throw new Error(`no reading before ${time_s} s`);
  return found;
}

/** The reading that stands at the end of a single request. */
export async function settled(
  request: HandRequest,
  options: Partial<PracticeOptions> = {},
): Promise<Heard> {
  return at(await play([[0, request]], 12, options), 12);
}
