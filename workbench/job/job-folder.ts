import { createHash, randomUUID } from "node:crypto";
import { join } from "node:path";
import { canonicalJson } from "./canonical-json.js";
import { LeadhandError } from "../../protocols/error.js";
import type { RawSink } from "../../protocols/raw-log.js";
import { AppendFile } from "./append-file.js";
import { nodeDisk, type Disk } from "./disk.js";
import {
  JOB_VERSION,
  jobFileSchema,
  parseJobFile,
  type Customer,
  type JobFile,
} from "./job-file.js";
import type { z } from "zod";
import type { Cut, JournalEvent } from "./journal-event.js";
import { NO_LINE_BEFORE } from "./journal-line.js";
import { JOURNAL_FILE, type Damage } from "./journal-read.js";
import { JournalWriter } from "./journal-writer.js";
import { takeLock, type Lock, type Processes } from "./lock.js";
import { CUSTOMER_FILE, readJob, readJobFile, type JobContent } from "./read-job.js";
import { Recorder, type JobClock } from "./recorder.js";
import { cutTornTails } from "./recover.js";
import { diskTrouble } from "./trouble.js";

/** A job that this process writes. */
export interface Job {
  readonly folder: string;
  readonly file: JobFile;
  /** Monotonic time (of the clock given) that is zero on the job's time base. */
  readonly origin_ns: bigint;
  /** For the raw bytes, before anything looks at them. */
  readonly sink: RawSink;
  /**
   * A reading was given to the plan; `end`: raw bytes of this sitting up to the last one that it
   * comes of. What is recorded from now on follows from it.
   */
  readTo(channel: string, end: number): void;
  /**
   * Resolves when the event and all raw bytes that came before it are on the medium; only then may
   * it be shown as recorded. Rejects with a `LeadhandError` of area `job`.
   */
  record(event: JournalEvent): Promise<void>;
  /** Idempotent. */
  close(): Promise<void>;
}

/** What was found when a job was opened again. */
export interface Recovery {
  /** Unfinished tails, cut off. */
  readonly cut: readonly Cut[];
  /** Damage inside: named and left as it is; the rest is readable. */
  readonly damage: readonly Damage[];
  /** The job as it was found. */
  readonly content: JobContent;
}

export interface JobOptions {
  readonly clock?: JobClock;
  readonly disk?: Disk;
  readonly processes?: Processes;
  readonly onTrouble?: (trouble: LeadhandError | null) => void;
}

/** Everything `job.json` says, less what the program fills in. */
export type NewJob = Omit<z.input<typeof jobFileSchema>, "format" | "version" | "id"> & {
  readonly id?: string;
  readonly customer?: Customer;
  /** Monotonic time that shall be zero on the job's time base; now where not given. */
  readonly origin_ns?: bigint;
};

/** Makes a job in a new or empty folder. Rejects with `job/exists`, `job/…`. */
export async function createJob(
  folder: string,
  { customer, origin_ns, ...described }: NewJob,
  options: JobOptions = {},
): Promise<Job> {
  const { disk, clock } = withDefaults(options);
  const file = jobFileSchema.parse({
    format: "leadhand-job",
    version: JOB_VERSION,
    id: randomUUID(),
    ...described,
  });
  const lock = await makeFolder(folder, options);
  try {
    await writeFiles(folder, file, customer, disk);
    const journal = new JournalWriter(journalFile(folder, disk, 0), 0, NO_LINE_BEFORE);
    const parts = { folder, file, lock, journal, traces: new Map(), options };
    const job = assemble({ ...parts, origin_ns: origin_ns ?? clock.now_ns() });
    await job.record(openedEvent(file));
    return job;
  } catch (thrown) {
    await lock.release().catch(() => undefined);
    throw diskTrouble(thrown, folder);
  }
}

/**
 * Opens a job to add to it: takes the lock, cuts off unfinished tails, and notes both in the
 * journal. `elapsed_s` is how long ago the job began by the time of day, where the caller knows.
 */
export async function openJob(
  folder: string,
  options: JobOptions & { readonly elapsed_s?: number } = {},
): Promise<Job & { readonly recovery: Recovery }> {
  const { disk, clock } = withDefaults(options);
  const file = await readJobFile(folder, disk);
  const lock = await takeLock(disk, folder, options.processes).catch((thrown: unknown) => {
    throw diskTrouble(thrown, folder);
  });
  try {
    const content = await readJob(folder, disk);
    const cut = await cutTornTails(content, disk);
    const { wholeLength, lastNumber, lastHash } = content.journal;
    const journal = new JournalWriter(journalFile(folder, disk, wholeLength), lastNumber, lastHash);
    const time_s = Math.max(lastTime(content) + PAUSE_S, options.elapsed_s ?? 0);
    const origin_ns = clock.now_ns() - BigInt(Math.round(time_s * 1e9));
    const parts = { folder, file, lock, journal, traces: content.traces, options };
    const job = assemble({ ...parts, origin_ns });
    await job.record({ kind: "resumed", time_s, cut });
    return { ...job, recovery: { cut, damage: content.damage, content } };
  } catch (thrown) {
    await lock.release().catch(() => undefined);
    throw diskTrouble(thrown, folder);
  }
}

/** Least gap on the time base between two sittings: times never run backwards. */
const PAUSE_S = 1;

function assemble(parts: {
  folder: string;
  file: JobFile;
  lock: Lock;
  journal: JournalWriter;
  traces: JobContent["traces"];
  options: JobOptions;
  origin_ns: bigint;
}): Job {
  const { folder, file, lock, journal, traces, options, origin_ns } = parts;
  const { disk, clock, onTrouble } = withDefaults(options);
  const channels = file.meters.map(({ channel }) => channel);
  const recorder = new Recorder({
    disk,
    folder,
    clock,
    journal,
    channels,
    traces,
    origin_ns,
    onTrouble,
  });
  let closing: Promise<void> | null = null;
  return {
    folder,
    file,
    origin_ns,
    sink: recorder,
    readTo: (channel, end) => recorder.readTo(channel, end),
    record: (event) => recorder.record(event),
    close: () => (closing ??= recorder.close().finally(() => lock.release())),
  };
}

async function makeFolder(folder: string, options: JobOptions): Promise<Lock> {
  const { disk } = withDefaults(options);
  try {
    await assertEmpty(folder, disk);
    await disk.makeFolder(join(folder, "traces"));
    return await takeLock(disk, folder, options.processes);
  } catch (thrown) {
    throw diskTrouble(thrown, folder);
  }
}

async function writeFiles(
  folder: string,
  file: JobFile,
  customer: Customer | undefined,
  disk: Disk,
): Promise<void> {
  const bytes = jsonBytes(file);
  // What cannot be read back must not be written.
  parseJobFile(bytes, folder);
  // The journal's name first: with job.json, which comes last, the folder becomes durable.
  await (await disk.open(join(folder, JOURNAL_FILE))).close();
  if (customer !== undefined) await disk.replace(join(folder, CUSTOMER_FILE), jsonBytes(customer));
  await disk.replace(join(folder, "job.json"), bytes);
}

function openedEvent(file: JobFile): JournalEvent {
  const { id, revision } = file.plan;
  return { kind: "opened", time_s: 0, plan: id, revision, planSha256: planDigest(file.plan) };
}

/** SHA-256 of a plan in its canonical JSON (RFC 8785): the same plan, however it was laid out. */
export function planDigest(plan: JobFile["plan"]): string {
  return createHash("sha256").update(canonicalJson(plan)).digest("hex");
}

function journalFile(folder: string, disk: Disk, length: number): AppendFile {
  return new AppendFile(disk, join(folder, JOURNAL_FILE), length);
}

function lastTime(content: JobContent): number {
  const journal = content.lines.reduce((last, line) => Math.max(last, line.event.time_s), 0);
  const traces = [...content.traces.values()].map((trace) => Number(trace.last_ns ?? 0n) / 1e9);
  return Math.max(journal, ...traces);
}

function jsonBytes(value: unknown): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(value, null, 2)}\n`);
}

const BEGINNINGS: ReadonlySet<string> = new Set(["lock", "traces", JOURNAL_FILE, CUSTOMER_FILE]);

/** What a crash while making a job may have left behind is no hindrance. */
async function assertEmpty(folder: string, disk: Disk): Promise<void> {
  const names = (await disk.list(folder)) ?? [];
  if (names.includes("job.json")) {
    throw new LeadhandError("job/exists", {
      what: `There is a job in ${folder} already.`,
      action: "Open that job, or choose a new folder.",
    });
  }
  const traces = (await disk.list(join(folder, "traces"))) ?? [];
  const foreign = [...names.filter((name) => !BEGINNINGS.has(name)), ...traces];
  if (foreign.length > 0) {
    throw new LeadhandError("job/not-empty", {
      what: `${folder} is not a job and is not empty (it holds ${foreign[0] ?? ""}).`,
      action: "Choose a new or empty folder for the job.",
    });
  }
}

function withDefaults(options: JobOptions): {
  disk: Disk;
  clock: JobClock;
  onTrouble: (trouble: LeadhandError | null) => void;
} {
  return {
    disk: options.disk ?? nodeDisk,
    clock: options.clock ?? realClock,
    onTrouble: options.onTrouble ?? (() => undefined),
  };
}

const realClock: JobClock = {
  now_ns: () => process.hrtime.bigint(),
  after(delay_ms, fn) {
    const timer = setTimeout(fn, delay_ms);
    return () => {
      clearTimeout(timer);
    };
  },
};
