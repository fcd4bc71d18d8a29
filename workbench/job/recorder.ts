import { join } from "node:path";
import { LeadhandError, toLeadhandError } from "../../protocols/error.js";
import type { Chunk, RawSink } from "../../protocols/raw-log.js";
import { AppendFile } from "./append-file.js";
import type { Disk } from "./disk.js";
import { channelSchema } from "./job-file.js";
import { journalEventSchema, type JournalEvent } from "./journal-event.js";
import type { JournalWriter } from "./journal-writer.js";
import type { TraceSummary } from "./trace-scan.js";
import { TraceWriter } from "./trace-writer.js";

/** Time, injected: the `Clock` of the drivers fits. */
export interface JobClock {
  now_ns(): bigint;
  after(delay_ms: number, fn: () => void): () => void;
}

export interface RecorderParts {
  readonly disk: Disk;
  readonly folder: string;
  readonly clock: JobClock;
  readonly journal: JournalWriter;
  /** Meters of the job. */
  readonly channels: readonly string[];
  readonly traces: ReadonlyMap<string, Pick<TraceSummary, "sequence" | "rawBytes" | "wholeLength">>;
  /** Monotonic time that is zero on the job's time base. */
  readonly origin_ns: bigint;
  /** Told when writing begins to fail and, with null, when it works again. */
  readonly onTrouble: (trouble: LeadhandError | null) => void;
}

/** Of the 100 ms within which a block is on disk; the rest is for the write. */
const GATHER_MS = 80;
/** How long to wait after a failed write. */
const RETRY_MS = 500;
/** How much is kept in memory while the disk is full. */
const MOST_HELD_BYTES = 8 << 20;

/** The writing half of an open job. One queue: whatever is written, is written in order. */
export class Recorder implements RawSink {
  readonly #parts: RecorderParts;
  readonly #traces = new Map<string, TraceWriter>();
  /** Raw bytes of each channel when the job was opened. */
  readonly #before: ReadonlyMap<string, number>;
  /** What the events follow from, as the journal notes it. */
  readonly #at: Map<string, number>;
  #queue: Promise<void> = Promise.resolve();
  #cancelTimer: (() => void) | null = null;
  #trouble: LeadhandError | null = null;
  /** Set for good when the disk did not confirm a sync, or the job was closed. */
  #ended: LeadhandError | null = null;

  constructor(parts: RecorderParts) {
    this.#parts = parts;
    for (const [channel, { sequence, wholeLength }] of parts.traces) {
      this.#traces.set(channel, this.#writerFor(channel, sequence, wholeLength));
    }
    this.#before = new Map([...parts.traces].map(([name, { rawBytes }]) => [name, rawBytes]));
    this.#at = new Map([...parts.channels.map((name) => [name, 0] as const), ...this.#before]);
  }

  append(channel: string, chunk: Chunk): void {
    if (this.#ended !== null) throw this.#ended;
    if (this.#trouble !== null && this.#heldBytes() > MOST_HELD_BYTES) throw this.#trouble;
    const since_ns = chunk.arrival_ns - this.#parts.origin_ns;
    const arrival_ns = since_ns < 0n ? 0n : since_ns;
    this.#traceOf(channel).add({ bytes: chunk.bytes, arrival_ns });
    this.#cancelTimer ??= this.#parts.clock.after(GATHER_MS, () => this.#gathered());
  }

  /** See `Job.readTo`. */
  readTo(channel: string, end: number): void {
    this.#at.set(channel, (this.#before.get(channel) ?? 0) + end);
  }

  /**
   * Resolves when the event, and all raw bytes that arrived before this call, are on the medium.
   * Rejects with a `LeadhandError`; then the event does not count as recorded.
   */
  record(event: JournalEvent): Promise<void> {
    const checked = journalEventSchema.parse(event);
    const at = this.#places();
    for (const trace of this.#traces.values()) trace.seal();
    return this.#enqueue(async () => {
      await this.#writeTraces();
      await this.#syncTraces();
      await this.#parts.journal.append(checked, at);
    });
  }

  /** Writes what is left. Afterwards nothing can be appended; rejects where the rest is lost. */
  async close(): Promise<void> {
    this.#cancelTimer?.();
    for (const trace of this.#traces.values()) trace.seal();
    try {
      await this.#enqueue(async () => {
        await this.#writeTraces();
        await this.#syncTraces();
      });
    } finally {
      this.#ended = closedError(this.#parts.folder);
      await Promise.all([...this.#traces.values()].map((trace) => trace.close()));
      await this.#parts.journal.close();
    }
  }

  #gathered(): void {
    this.#cancelTimer = null;
    for (const trace of this.#traces.values()) trace.seal();
    // Failing is told through onTrouble; the sync is for a loss of power and delays nobody.
    this.#enqueue(() => this.#writeTraces())
      .then(() => this.#enqueue(() => this.#syncTraces()))
      .catch(() => undefined);
  }

  #enqueue(work: () => Promise<void>): Promise<void> {
    const done = this.#queue.then(async () => {
      if (this.#ended !== null) throw this.#ended;
      try {
        await work();
        this.#tell(null);
      } catch (thrown) {
        throw this.#failed(toLeadhandError(thrown));
      }
    });
    this.#queue = done.catch(() => undefined);
    return done;
  }

  #failed(error: LeadhandError): LeadhandError {
    if (error.code === "job/not-durable") this.#ended = error;
    else this.#cancelTimer ??= this.#parts.clock.after(RETRY_MS, () => this.#gathered());
    this.#tell(error);
    return error;
  }

  #tell(trouble: LeadhandError | null): void {
    const changed = trouble?.code !== this.#trouble?.code;
    this.#trouble = trouble;
    if (changed) this.#parts.onTrouble(trouble);
  }

  async #writeTraces(): Promise<void> {
    for (const trace of this.#traces.values()) await trace.write();
  }

  async #syncTraces(): Promise<void> {
    await Promise.all([...this.#traces.values()].map((trace) => trace.sync()));
  }

  #traceOf(channel: string): TraceWriter {
    const known = this.#traces.get(channel);
    if (known !== undefined) return known;
    if (!channelSchema.safeParse(channel).success) throw badChannel(channel);
    const made = this.#writerFor(channel, 0, 0);
    this.#traces.set(channel, made);
    return made;
  }

  #writerFor(channel: string, sequence: number, length: number): TraceWriter {
    const path = join(this.#parts.folder, "traces", `${channel}.trace`);
    return new TraceWriter(channel, new AppendFile(this.#parts.disk, path, length), sequence);
  }

  #places(): Record<string, number> {
    return Object.fromEntries([...this.#at].sort(([a], [b]) => (a < b ? -1 : 1)));
  }

  #heldBytes(): number {
    return [...this.#traces.values()].reduce((sum, trace) => sum + trace.heldBytes, 0);
  }
}

function closedError(folder: string): LeadhandError {
  return new LeadhandError("job/closed", {
    what: `The job ${folder} is closed.`,
    action: "Open it again to add to it.",
  });
}

function badChannel(channel: string): LeadhandError {
  return new LeadhandError("job/channel", {
    what: `"${channel}" cannot be the name of a trace.`,
    action: "Name a meter with small letters, digits and hyphens, such as a or b.",
  });
}
