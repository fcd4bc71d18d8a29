import { join } from "node:path/posix";
import { BlockReader } from "../../protocols/raw-log/block-reader.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { createHash } from "node:crypto";
import { readingsOf, type ChunkSource } from "../job/derive.js";
import { parseJobFile, type JobFile } from "../job/job-file.js";
import { compareReplay, type ReplayReport } from "../job/compare-replay.js";
import { planDigest } from "../job/job-folder.js";
import { readJournal, type JournalContent } from "../job/journal-read.js";
import { toLeadhandError } from "../../protocols/error.js";
import { check, type Check } from "./check.js";
import { bytesOf, type OpenPack } from "./open-pack.js";
import { CSV_HEADER, csvLine } from "./readings-csv.js";

/** The job inside a pack, as far as it can be read. */
export interface PackedJob {
  readonly file: JobFile;
  readonly journal: JournalContent;
  readonly chunks: ChunkSource;
  readonly channels: readonly string[];
}

/** `under` is `data/job` or `data/job-before`. null where there is no readable job. */
export async function packedJob(pack: OpenPack, under: string): Promise<PackedJob | null> {
  const bytes = await bytesOf(pack, join(under, "job.json"));
  const journal = await bytesOf(pack, join(under, "journal.ndjson"));
  if (bytes === null || journal === null) return null;
  try {
    const file = parseJobFile(bytes, under);
    const channels = channelsIn(pack, under);
    return { file, journal: readJournal(journal), chunks: chunksIn(pack, under), channels };
  } catch {
    return null;
  }
}

/** Order of the journal, what it says of the plan and of photos. */
export function checkJournal(pack: OpenPack, job: PackedJob, under: string): Check {
  const { journal, file } = job;
  const faults = journal.damage.map(({ what }) => what);
  if (journal.tornLength > 0) faults.push("its last line is cut short");
  for (const { event } of journal.lines) {
    if (event.kind === "opened" && event.planSha256 !== planDigest(file.plan)) {
      faults.push("the plan in job.json is not the one the run began with");
    }
    if (event.kind !== "photo") continue;
    const photo = pack.files.get(join(under, event.file));
    if (photo?.sha256 !== event.sha256)
      faults.push(`the photo ${event.file} is not as it was taken`);
  }
  if (faults.length > 0)
    return check("journal", "bad", `The journal of ${under} is not whole.`, faults);
  const words = `The journal is whole: ${journal.lines.length} lines, each carrying the hash of the line before.`;
  return check("journal", "good", words);
}

export async function checkTraces(pack: OpenPack, job: PackedJob, under: string): Promise<Check> {
  const faults: string[] = [];
  for (const channel of job.channels) {
    const name = join(under, `traces/${channel}.trace`);
    let next = 0;
    for await (const item of itemsIn(pack, name)) {
      if (item.kind === "block") {
        if (item.sequence !== next)
          faults.push(`${name}: a block is missing before byte ${item.from}`);
        next = item.sequence + 1;
      } else {
        faults.push(`${name}: bytes ${item.from} to ${item.to} are ${item.kind}`);
      }
    }
  }
  if (faults.length > 0) return check("traces", "bad", "The traces are damaged.", faults);
  const count = job.channels.length;
  return check(
    "traces",
    "good",
    `The blocks of ${count === 1 ? "the trace" : `all ${count} traces`} are whole (CRC-32C).`,
  );
}

/** Decodes the traces again: the tables of readings must come out the same to the byte. */
export async function checkReadings(pack: OpenPack, job: PackedJob): Promise<Check> {
  const faults: string[] = [];
  let compared = 0;
  for (const channel of job.channels) {
    const table = pack.files.get(`data/readings/${channel}.csv`);
    if (table === undefined) continue;
    try {
      if ((await derivedDigest(job, channel)) !== table.sha256) {
        faults.push(`data/readings/${channel}.csv`);
      }
      compared += 1;
    } catch (thrown) {
      return check(
        "readings",
        "open",
        `The traces cannot be decoded here: ${toLeadhandError(thrown).what}`,
      );
    }
  }
  if (faults.length > 0) {
    const words =
      "The readings do not follow from the raw traces (or were decoded by another version of the program).";
    return check("readings", "bad", words, faults);
  }
  if (compared === 0)
    return check("readings", "absent", "There are no tables of readings in the pack.");
  return check(
    "readings",
    "good",
    "The readings, decoded again from the raw traces, are the same.",
  );
}

/** Judges again from the raw traces, with the plan and the accuracy of the pack. */
export async function checkVerdicts(job: PackedJob, programVersion: string): Promise<Check> {
  const { file, journal, channels, chunks } = job;
  const source = { file, lines: journal.lines, channels, chunks };
  try {
    const replay = await compareReplay(source, journal.damage, programVersion);
    if (replay.steps === 0) return check("verdicts", "absent", "No verdict was recorded.");
    if (replay.agrees) {
      const words = `All ${replay.steps} results follow again from the raw traces${concludedWords(replay)}.`;
      return check("verdicts", "good", words);
    }
    const places = [
      ...replay.differences.map(({ step, why }) => `${step}: ${why}`),
      ...(replay.conclusion?.differences ?? []),
    ];
    const other = replay.recordedBy !== replay.replayedBy;
    const words = "From the raw traces, other results follow than were recorded.";
    return check("verdicts", other ? "open" : "bad", words, places);
  } catch (thrown) {
    const words = `The run cannot be replayed here: ${toLeadhandError(thrown).what}`;
    return check("verdicts", "open", words);
  }
}

function concludedWords({ conclusion }: ReplayReport): string {
  if (conclusion === null) return "";
  return conclusion.agrees === true
    ? ", and so does what was concluded of the parts"
    : "; what was concluded of the parts cannot be reasoned again here, for want of a model of this tool";
}

async function derivedDigest(job: PackedJob, channel: string): Promise<string> {
  const hash = createHash("sha256").update(CSV_HEADER);
  for await (const reading of readingsOf(job.file, channel, job.chunks))
    hash.update(csvLine(reading));
  return hash.digest("hex");
}

function channelsIn(pack: OpenPack, under: string): string[] {
  const start = `${under}/traces/`;
  return [...pack.files.keys()]
    .filter((path) => path.startsWith(start) && path.endsWith(".trace"))
    .map((path) => path.slice(start.length, -".trace".length))
    .sort();
}

function chunksIn(pack: OpenPack, under: string): ChunkSource {
  return async function* (channel): AsyncGenerator<Chunk> {
    for await (const item of itemsIn(pack, join(under, `traces/${channel}.trace`))) {
      if (item.kind === "block") yield* item.chunks;
    }
  };
}

async function* itemsIn(
  pack: OpenPack,
  name: string,
): AsyncGenerator<ReturnType<BlockReader["push"]>[number]> {
  const reader = new BlockReader();
  const file = pack.files.get(name);
  if (file === undefined) return;
  for await (const piece of file.read()) yield* reader.push(piece);
  yield* reader.end();
}
