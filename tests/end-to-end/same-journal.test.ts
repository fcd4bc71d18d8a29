import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { LinkKind } from "../../drivers/link-kind.js";
import type { Link } from "../../drivers/link.js";
import { SimulatedClock } from "../../drivers/simulated-clock.js";
import { startEngine } from "../../electron/run/engine.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { HAND_HELD, practiceRun } from "../workbench/plan/practice-run.js";

/**
 * The journal on disk of the same recorded bytes, however fast they are played and however they
 * are cut: the program's own engine, session, runner and journal, on a clock that stands still.
 */
const plan = bundledPlan("cordless-brushed");
let folder: string;
let tape: readonly Chunk[];
let number = 0;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-same-journal-"));
  const { chunks } = await practiceRun({ plan, faults: ["switch-burnt"], seed: 5 });
  tape = chunks.map(({ bytes, time_s }) => ({
    bytes,
    arrival_ns: BigInt(Math.round(time_s * 1e9)),
  }));
}, 60_000);
afterAll(() => rm(folder, { recursive: true, force: true }));

/** Lets others work between two deliveries, or not at all. */
type Pace = (n: number) => Promise<void> | null;

class TapeLink implements Link {
  onChunk: Link["onChunk"] = () => undefined;
  onClosed: Link["onClosed"] = () => undefined;
  #over = false;

  constructor(
    private readonly chunks: readonly Chunk[],
    private readonly pace: Pace,
  ) {}

  open(): Promise<void> {
    setImmediate(() => void this.#play());
    return Promise.resolve();
  }

  write(): Promise<void> {
    return Promise.resolve();
  }

  close(): Promise<void> {
    if (!this.#over) this.onClosed({ by: "us" });
    this.#over = true;
    return Promise.resolve();
  }

  async #play(): Promise<void> {
    for (const [n, chunk] of this.chunks.entries()) {
      if (this.#over) return;
      this.onChunk(chunk);
      const wait = this.pace(n);
      if (wait) await wait;
    }
  }
}

const turn = () => new Promise<void>((resolve) => setImmediate(resolve));
const PACES: Readonly<Record<string, Pace>> = {
  "a chunk a turn": turn,
  "all in one turn": () => null,
  "in bursts": (n) => (n % 37 === 0 ? turn() : null),
  "with pauses": (n) =>
    n % 200 === 0 ? new Promise((resolve) => setTimeout(resolve, 15)) : n % 5 === 0 ? turn() : null,
};

async function journalOf(chunks: readonly Chunk[], pace: Pace): Promise<string> {
  const link: LinkKind = {
    scheme: "practice",
    title: "a tape",
    options: [],
    protocol: "segment-14",
    vanishes: false,
    load: () => Promise.resolve(() => () => new TapeLink(chunks, pace)),
  };
  const setup = {
    plan,
    meters: ["practice:tape"],
    folder: join(folder, String((number += 1))),
    tool: { make: "Demo Works", model: "Tape", serial: "1", complaint: "" },
    accuracies: [HAND_HELD],
    startedAt: "2026-01-02T10:00:00.000Z",
    programVersion: "0.0.0",
    practice: true,
    clock: new SimulatedClock(),
    recorded: false,
    links: [link],
    goOn: false,
    experience: null,
    repeats: null,
    order: "fixed" as const,
  };
  const engine = await startEngine({
    ...setup,
    reasoning: new DirectReasoning(plan, {}),
    emit: () => undefined,
  });
  expect(await engine.ended).toBe("finished");
  return readFile(join(engine.folder, "journal.ndjson"), "utf8");
}

/** Cut smaller; each piece keeps the time of arrival of the chunk that it is of. */
function cut(size: number): Chunk[] {
  return tape.flatMap(({ bytes, arrival_ns }) =>
    Array.from({ length: Math.ceil(bytes.length / size) }, (_, n) => ({
      bytes: bytes.subarray(n * size, (n + 1) * size),
      arrival_ns,
    })),
  );
}

describe("the journal of the same recorded bytes", () => {
  let first: string;
  beforeAll(async () => {
    first = await journalOf(tape, turn);
  }, 60_000);

  it.each(Object.keys(PACES))("is the same to the byte, played %s", async (pace) => {
    expect(await journalOf(tape, PACES[pace]!)).toBe(first);
  });

  it.each([1, 2, 5, 14])("is the same to the byte, cut into pieces of %i", async (size) => {
    expect(await journalOf(cut(size), turn)).toBe(first);
  });
});
