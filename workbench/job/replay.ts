import type { TimedReading } from "../../protocols/reading.js";
import type { Order } from "../contract/orders.js";
import type { RunEvent, RunInput } from "../plan/run-event.js";
import type { Runner } from "../plan/runner.js";
import { canonicalJson } from "./canonical-json.js";
import type { ChunkSource } from "./derive.js";
import type { JobFile } from "./job-file.js";
import type { JournalEvent } from "./journal-event.js";
import type { JournalLine } from "./journal-line.js";
import { entryOfEvent, isDerived } from "./journal-entry.js";
import { runnerFor } from "./job-runner.js";
import { ReplayFeed } from "./replay-feed.js";
import type { FedReading } from "./replay-feed.js";

/** What a replay is made from: a folder on disk or a pack. */
export interface ReplaySource {
  readonly file: JobFile;
  readonly lines: readonly JournalLine[];
  readonly channels: readonly string[];
  readonly chunks: ChunkSource;
}

export interface Rederived {
  /** What the runner came to, as the journal would keep it. */
  readonly events: readonly JournalEvent[];
  /** How many of `events`, the last ones, the journal had no time to take before it broke off. */
  readonly unrecorded: number;
  readonly readings: number;
  /** What the runner said that a screen keeps showing: steps begun and done, and prompts. */
  readonly said: readonly RunEvent[];
  /** The runner as it stands at the end: an interrupted run goes on from here. null: never begun. */
  readonly runner: Runner | null;
}

/**
 * Runs a job again from its raw bytes: the decoder, the sampling times and the runner of this
 * program, with the plan, rule and accuracy that were recorded. What people and links did is
 * taken from the journal, at the places in the traces where it came.
 */
export async function rederive(source: ReplaySource): Promise<Rederived> {
  const { file, lines, channels, chunks } = source;
  const feed = new ReplayFeed(file, channels, chunks);
  const replay = new Replaying(file);
  for (const line of lines) {
    const { event } = line;
    const held: TimedReading[] = [];
    for await (const fed of feed.upTo(line.at)) {
      if (file.version === 1 && isBackWith(fed, line)) held.push(fed.reading);
      else replay.reading(fed.reading);
    }
    if (event.kind === "resumed") feed.restart();
    if (event.kind === "begin") replay.begin(event.time_s, "fixed");
    if (event.kind === "order") replay.begin(event.time_s, event.order);
    const input = inputOf(event);
    if (input !== null) replay.push(input);
    for (const reading of held) replay.reading(reading);
  }
  const before = replay.events.length;
  for await (const { reading } of feed.upTo(null)) replay.reading(reading);
  const { events, readings, said, runner } = replay;
  const unrecorded = events.length - Math.min(before, recordedOf(events, lines));
  return { events, unrecorded, readings, said, runner };
}

/**
 * How many of the events the journal has: up to its last one. The lines of one moment are written
 * one after the other, and where the run broke off, the last of them are missing.
 */
function recordedOf(events: readonly JournalEvent[], lines: readonly JournalLine[]): number {
  const last = lines.findLast(({ event }) => isDerived(event));
  if (last === undefined) return 0;
  const text = canonicalJson(last.event);
  const at = events.findLastIndex((event) => canonicalJson(event) === text);
  return at < 0 ? events.length : at + 1;
}

/**
 * A meter is back by the bytes that make its first reading, and the line comes before that reading:
 * its place says so, but for version 1, where it was the end of those bytes.
 */
function isBackWith({ channel, chunkEnd }: FedReading, { event, at }: JournalLine): boolean {
  if (event.kind !== "meter" || event.state !== "live") return false;
  return event.channel === channel && chunkEnd === at[channel];
}

class Replaying {
  readonly events: JournalEvent[] = [];
  readonly said: RunEvent[] = [];
  readings = 0;
  runner: Runner | null = null;
  readonly #file: JobFile;

  constructor(file: JobFile) {
    this.#file = file;
  }

  /** The first order, or where none was recorded the first step, begins the run. */
  begin(time_s: number, order: Order): void {
    if (this.runner !== null) return;
    this.runner = runnerFor(this.#file, time_s, order);
    this.#keep(this.runner.start());
  }

  reading(reading: TimedReading): void {
    this.push({ kind: "reading", reading });
    this.readings += 1;
  }

  push(input: RunInput): void {
    if (this.runner !== null) this.#keep(this.runner.push(input));
  }

  #keep(events: readonly RunEvent[]): void {
    for (const event of events) {
      if (event.kind !== "contact") this.said.push(event);
      const kept = entryOfEvent(event);
      if (kept !== null) this.events.push(kept);
    }
  }
}

/** What the runner is fed again; null for what follows from it, or is none of its business. */
function inputOf(event: JournalEvent): RunInput | null {
  switch (event.kind) {
    case "meter":
    case "confirm":
    case "skip":
    case "repeat":
    case "order":
    case "chosen":
      return event;
    case "aside":
      return { kind: "order", time_s: event.time_s, order: event.on ? "free" : "fixed" };
    default:
      return null;
  }
}
