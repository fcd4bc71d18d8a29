import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Clock } from "../../drivers/clock.js";
import { systemClock } from "../../drivers/clock.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import { startEngine } from "../../electron/run/engine.js";
import { prepareRun } from "../../electron/run/prepare.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { findProtocol } from "../../protocols/registry.js";
import { ChannelReader } from "../../protocols/timing/channel-reader.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { readJob } from "../../workbench/job/read-job.js";
import type { Order } from "../../workbench/contract/orders.js";
import { planSchema } from "../../workbench/plan/schema.js";
import { twoMeterPlan } from "../end-to-end/small-plan.js";
import {
  amperes,
  ampereLine,
  askedTape,
  encoders,
  sendingTape,
  volts,
  writeTape,
} from "./recorded-meters.js";
import type { Tape } from "./recorded-meters.js";

const plan = planSchema.parse(twoMeterPlan);
const VERSION = "0.0.0-test";
/** Of the coarsest of the meters, in volts. */
const ONE_COUNT = 1 / 64;

let scratch: string;
let number = 0;
beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), "leadhand-recorded-"));
});
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

/** A hundred times as fast as time: what is waited for in it is waited for in earnest. */
const hurried: Clock = {
  now_ns: () => systemClock.now_ns() * 100n,
  after: (delay_ms, fn) => systemClock.after(delay_ms / 100, fn),
};

interface Played {
  readonly folder: string;
  readonly sha256: string;
}

/** Runs the plan on the tapes as the program does, into a new job. */
async function play(tapes: readonly Tape[], pace: string, order: Order = "fixed"): Promise<Played> {
  const meters = tapes.map(({ speaks, chunks }) => {
    const path = join(scratch, `${(number += 1)}.trace`);
    writeTape(path, "x", chunks);
    return `recorded:${path}?protocol=${speaks}&pace=${pace}`;
  });
  return playMeters(meters, order);
}

async function playMeters(meters: readonly string[], order: Order = "fixed"): Promise<Played> {
  const folder = join(scratch, `job-${(number += 1)}`);
  const prepared = await prepareRun({ plan, meters, folder, order }, scratch, hurried);
  const engine = await startEngine({
    ...prepared,
    reasoning: new DirectReasoning(plan, {}),
    emit: (event) => {
      if (event.kind === "trouble") throw event.error;
    },
  });
  await engine.ended;
  const journal = readFileSync(join(folder, "journal.ndjson"));
  return { folder, sha256: createHash("sha256").update(journal).digest("hex") };
}

/** Each chunk in pieces of its own arrival, cut where `cuts` says in turn. */
function inPieces(chunks: readonly Chunk[], cuts: readonly number[]): Chunk[] {
  let turn = 0;
  return chunks.flatMap(({ bytes, arrival_ns }) => {
    const pieces: Chunk[] = [];
    for (let at = 0; at < bytes.length;) {
      const length = cuts[turn++ % cuts.length] ?? 1;
      pieces.push({ bytes: bytes.subarray(at, at + length), arrival_ns });
      at += length;
    }
    return bytes.length === 0 ? [{ bytes, arrival_ns }] : pieces;
  });
}

const cut = (tapes: readonly Tape[], cuts: readonly number[]): Tape[] =>
  tapes.map(({ speaks, chunks }) => ({ speaks, chunks: inPieces(chunks, cuts) }));

/** Bytes behind the last whole reading of a chunk come with the next one, and not before. */
function movedTails({ speaks, chunks }: Tape): Tape {
  const [id = "", ...query] = speaks.split("&");
  const named = query.map((each) => each.split("=") as [string, string]);
  const options: Record<string, string> = Object.fromEntries(named);
  const protocol = findProtocol(id);
  const reader = new ChannelReader({ channel: "x", protocol, options, origin_ns: 0n });
  let [read, given] = [0, 0];
  let tail: Uint8Array = new Uint8Array(0);
  const moved: Chunk[] = [];
  for (const { bytes, arrival_ns } of chunks) {
    // What was opened anew has forgotten half a reading: it came before that all the same.
    if (bytes.length === 0 && tail.length > 0) moved.push({ bytes: tail, arrival_ns });
    const whole = new Uint8Array(Buffer.concat(bytes.length === 0 ? [bytes] : [tail, bytes]));
    given += bytes.length;
    read = reader.push({ bytes, arrival_ns }).ends.at(-1) ?? read;
    const cut = Math.min(whole.length, Math.max(0, whole.length - (given - read)));
    tail = bytes.length === 0 ? new Uint8Array(0) : whole.slice(cut);
    if (cut > 0 || bytes.length === 0) moved.push({ bytes: whole.slice(0, cut), arrival_ns });
  }
  const last_ns = chunks.at(-1)?.arrival_ns ?? 0n;
  return { speaks, chunks: [...moved, { bytes: tail, arrival_ns: last_ns + 1n }] };
}

/** Two neighbours as one, at the time of the second. */
function inTwos(chunks: readonly Chunk[]): Chunk[] {
  const merged: Chunk[] = [];
  for (let at = 0; at < chunks.length; at++) {
    const [one, two] = [chunks[at]!, chunks[at + 1]];
    const isMark = one.bytes.length === 0 || two === undefined || two.bytes.length === 0;
    if (isMark) merged.push(one);
    else {
      const bytes = new Uint8Array(Buffer.concat([one.bytes, two.bytes]));
      merged.push({ bytes, arrival_ns: two.arrival_ns });
      at++;
    }
  }
  return merged;
}

async function found(folder: string) {
  const { lines } = await readJob(folder);
  return lines.flatMap(({ event }) => {
    if (event.kind !== "step") return [];
    const { step, verdict, value } = event.result;
    return [{ step, verdict, value }];
  });
}

const second = sendingTape("ascii-line", ampereLine, amperes, { phase_s: 0.013 });
const pairs: readonly [string, readonly Tape[]][] = [
  ...Object.entries(encoders).map(([speaks, encode]): [string, readonly Tape[]] => {
    // Values without any frame around them have nothing to fall into step by again.
    const garbage = !speaks.startsWith("gatt");
    return [speaks, [sendingTape(speaks, encode, volts, { garbage }), second]];
  }),
  ["scpi", [askedTape(volts), second]],
];

describe.each(pairs)("two recordings, %s and lines of text", (_name, tapes) => {
  let first: Played;
  beforeAll(async () => {
    first = await play(tapes, "at-once");
  });

  it("are a run with verdicts, a lost meter and one that came back, which replays", async () => {
    const { lines } = await readJob(first.folder);
    const kinds = lines.map(({ event }) => event.kind);
    expect(kinds.filter((kind) => kind === "step")).toHaveLength(3);
    expect(kinds.filter((kind) => kind === "meter").length).toBeGreaterThanOrEqual(2);
    expect(kinds.at(-1)).toBe("conclusion");
    expect(await replayJob(first.folder, VERSION)).toMatchObject({ agrees: true, steps: 3 });
  });

  it.each(["as-recorded", "10", "at-once"])("give the same journal, played %s", async (pace) => {
    expect((await play(tapes, pace)).sha256).toBe(first.sha256);
  });

  it("give the same journal where each next step is reasoned out", async () => {
    const chosen = await play(tapes, "at-once", "proposed");
    const { lines } = await readJob(chosen.folder);
    expect(lines.some(({ event }) => event.kind === "chosen")).toBe(true);
    expect((await play(cut(tapes, [5, 1]), "as-recorded", "proposed")).sha256).toBe(chosen.sha256);
  });

  it("give the same journal byte by byte, at any pace", async () => {
    expect((await play(cut(tapes, [1]), "at-once")).sha256).toBe(first.sha256);
    expect((await play(cut(tapes, [1]), "10")).sha256).toBe(first.sha256);
  });

  it("give the same journal in whatever pieces", async () => {
    const cuts = fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 30 });
    const pace = fc.constantFrom("at-once", "as-recorded", "10");
    await fc.assert(
      fc.asyncProperty(cuts, pace, async (lengths, how) => {
        expect((await play(cut(tapes, lengths), how)).sha256).toBe(first.sha256);
      }),
      { numRuns: 8 },
    );
  });

  it("give the same journal where the beginning of a reading came sooner or later", async () => {
    // Of an asking protocol, the time of half an answer moves the time of the next question.
    const moved = tapes.map((tape) => (tape.speaks.startsWith("scpi") ? tape : movedTails(tape)));
    expect(moved).not.toEqual(tapes);
    expect((await play(moved, "at-once")).sha256).toBe(first.sha256);
  });

  // When which reading came is lost there: the mean of those held may take in one more or less.
  it("give the same verdicts, and values to a count, when what came apart is told as one", async () => {
    const merged = tapes.map((tape) => ({ ...tape, chunks: inTwos(tape.chunks) }));
    const then = await play(merged, "at-once");
    expect(then.sha256).not.toBe(first.sha256);
    const [now, before] = [await found(then.folder), await found(first.folder)];
    expect(now.map(({ step, verdict }) => [step, verdict])).toEqual(
      before.map(({ step, verdict }) => [step, verdict]),
    );
    for (const [n, { value }] of now.entries()) {
      expect(Math.abs(value! - before[n]!.value!)).toBeLessThan(ONE_COUNT);
    }
    expect(await replayJob(then.folder, VERSION)).toMatchObject({ agrees: true });
  });

  it("give the same journal when the job they made is played", async () => {
    const again = tapes.map(({ speaks }, n) => {
      const channel = n === 0 ? "a" : "b";
      return `recorded:${first.folder}?channel=${channel}&protocol=${speaks}&pace=at-once`;
    });
    expect((await playMeters(again)).sha256).toBe(first.sha256);
  });
});
