import { join } from "node:path";
import { nodeDisk, type Disk } from "./disk.js";
import { customerSchema, notAJob, parseJobFile, type Customer, type JobFile } from "./job-file.js";
import { JOURNAL_FILE, readJournal, type Damage, type JournalContent } from "./journal-read.js";
import type { JournalLine } from "./journal-line.js";
import { scanTrace, type TraceSummary } from "./trace-scan.js";
import { diskTrouble } from "./trouble.js";

/** What was written down of a job, without its traces. */
export interface JobRecord {
  readonly folder: string;
  readonly file: JobFile;
  readonly journal: JournalContent;
  readonly lines: readonly JournalLine[];
}

/** A job as it lies on disk, read without changing or locking anything. */
export interface JobContent extends JobRecord {
  readonly customer: Customer | null;
  readonly traces: ReadonlyMap<string, TraceSummary>;
  /** All damage inside, file by file; a torn tail is not damage (see `wholeLength`). */
  readonly damage: readonly Damage[];
}

/** Costs the same however long the traces are. Rejects as `readJob` does. */
export async function readRecord(folder: string, disk: Disk = nodeDisk): Promise<JobRecord> {
  const file = await readJobFile(folder, disk);
  const journal = readJournal((await disk.readWhole(join(folder, JOURNAL_FILE))) ?? EMPTY);
  return { folder, file, journal, lines: journal.lines };
}

/** Rejects with a `LeadhandError` (`job/not-a-job`, `job/newer`, …); damage inside is listed. */
export async function readJob(folder: string, disk: Disk = nodeDisk): Promise<JobContent> {
  const { file, journal } = await readRecord(folder, disk);
  const traces = new Map<string, TraceSummary>();
  for (const channel of await traceChannels(folder, disk)) {
    const name = traceName(channel);
    traces.set(channel, await scanTrace(disk, join(folder, name), name));
  }
  const damage = [...journal.damage, ...[...traces.values()].flatMap((trace) => trace.damage)];
  const customer = await readCustomer(folder, disk);
  return { folder, file, customer, journal, lines: journal.lines, traces, damage };
}

export async function readJobFile(folder: string, disk: Disk = nodeDisk): Promise<JobFile> {
  let bytes: Uint8Array | null;
  try {
    bytes = await disk.readWhole(join(folder, "job.json"));
  } catch (thrown) {
    throw diskTrouble(thrown, folder);
  }
  if (bytes === null) throw notAJob(folder, "there is no job.json in it");
  return parseJobFile(bytes, folder);
}

/** null where the job has no customer, or has one in a form this program does not know. */
async function readCustomer(folder: string, disk: Disk): Promise<Customer | null> {
  const bytes = await disk.readWhole(join(folder, CUSTOMER_FILE));
  if (bytes === null) return null;
  try {
    return customerSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    return null;
  }
}

export const CUSTOMER_FILE = "customer.json";

/** Path of a trace inside the job, with slashes. */
export function traceName(channel: string): string {
  return `traces/${channel}.trace`;
}

/** Channels that have a trace, in order. */
async function traceChannels(folder: string, disk: Disk): Promise<string[]> {
  return ((await disk.list(join(folder, "traces"))) ?? [])
    .filter((name) => name.endsWith(".trace"))
    .map((name) => name.slice(0, -".trace".length))
    .sort();
}

const EMPTY = new Uint8Array(0);
