import { join } from "node:path";
import { nodeDisk } from "../job/disk.js";
import { chunksOf, readingsOf } from "../job/derive.js";
import { JOURNAL_FILE } from "../job/journal-read.js";
import { CUSTOMER_FILE, traceName, type JobContent } from "../job/read-job.js";
import { toLeadhandError } from "../../protocols/error.js";
import { exportReadings } from "./export-readings.js";
import { isPhotoName } from "./photos.js";
import { csvMetadata } from "./readings-csv.js";
import type { PackFile } from "./zip-write.js";

/** A job as it was recorded, up to its last whole line and block. */
export async function jobFiles(
  job: JobContent,
  under: string,
  withCustomer: boolean,
): Promise<PackFile[]> {
  const { folder, journal, traces } = job;
  const files: PackFile[] = [
    { path: `${under}/job.json`, from: join(folder, "job.json") },
    {
      path: `${under}/${JOURNAL_FILE}`,
      from: join(folder, JOURNAL_FILE),
      length: journal.wholeLength,
    },
  ];
  for (const [channel, trace] of traces) {
    const name = traceName(channel);
    files.push({ path: `${under}/${name}`, from: join(folder, name), length: trace.wholeLength });
  }
  for (const name of await photoNames(job)) {
    files.push({ path: `${under}/${name}`, from: join(folder, name) });
  }
  if (withCustomer && job.customer !== null) {
    files.push({ path: `${under}/${CUSTOMER_FILE}`, from: join(folder, CUSTOMER_FILE) });
  }
  return files;
}

async function photoNames({ folder, lines }: JobContent): Promise<string[]> {
  const here = new Set((await nodeDisk.list(join(folder, "photos"))) ?? []);
  const named = lines.flatMap(({ event }) => (event.kind === "photo" ? [event.file] : []));
  return [...new Set(named)].filter(
    (file) => isPhotoName(file) && here.has(file.slice("photos/".length)),
  );
}

export interface ReadingFiles {
  readonly files: readonly PackFile[];
  /** Traces that could not be decoded, in words. */
  readonly warnings: readonly string[];
}

/** The decoded readings of each trace, written to a scratch folder. */
export async function readingFiles(job: JobContent, scratch: string): Promise<ReadingFiles> {
  const files: PackFile[] = [];
  const warnings: string[] = [];
  for (const channel of job.traces.keys()) {
    try {
      files.push(...(await channelFiles(job, channel, scratch)));
    } catch (thrown) {
      const { what } = toLeadhandError(thrown);
      warnings.push(`Trace ${channel} is in the pack, but not its readings: ${what}`);
    }
  }
  return { files, warnings };
}

async function channelFiles(
  job: JobContent,
  channel: string,
  scratch: string,
): Promise<PackFile[]> {
  const [csv, parquet] = [join(scratch, `${channel}.csv`), join(scratch, `${channel}.parquet`)];
  await exportReadings(readingsOf(job.file, channel, chunksOf(job.folder)), csv, parquet);
  const { make, model, serial } = job.file.tool;
  const title = `Readings of meter ${channel}: ${make} ${model}, ${serial}`;
  const metadata = new TextEncoder().encode(csvMetadata(`${channel}.csv`, title));
  return [
    { path: `readings/${channel}.csv`, from: csv },
    { path: `readings/${channel}.csv-metadata.json`, bytes: metadata },
    { path: `readings/${channel}.parquet`, from: parquet },
  ];
}
