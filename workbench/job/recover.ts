import { join } from "node:path";
import type { Disk } from "./disk.js";
import type { Cut } from "./journal-event.js";
import { JOURNAL_FILE } from "./journal-read.js";
import { traceName, type JobContent } from "./read-job.js";
import { diskTrouble } from "./trouble.js";

/**
 * Cuts off the tails that a crash, a kill or a full disk left unfinished. The bytes cut are kept
 * under `cut/`: they were never shown as recorded, but nothing is thrown away.
 */
export async function cutTornTails(job: JobContent, disk: Disk): Promise<Cut[]> {
  const cuts: Cut[] = [];
  const { wholeLength, tornLength } = job.journal;
  if (tornLength > 0) cuts.push(await cut(job.folder, JOURNAL_FILE, wholeLength, tornLength, disk));
  for (const [channel, trace] of job.traces) {
    const torn = trace.length - trace.wholeLength;
    if (torn === 0) continue;
    cuts.push(await cut(job.folder, traceName(channel), trace.wholeLength, torn, disk));
  }
  return cuts;
}

async function cut(
  folder: string,
  name: string,
  at: number,
  bytes: number,
  disk: Disk,
): Promise<Cut> {
  const path = join(folder, name);
  const kept = `cut/${name.replaceAll("/", "-")}-${at}`;
  try {
    await disk.makeFolder(join(folder, "cut"));
    const file = await disk.open(path);
    try {
      await disk.replace(join(folder, kept), await file.read(at, bytes));
      await file.truncate(at);
      await file.sync();
    } finally {
      await file.close();
    }
  } catch (thrown) {
    throw diskTrouble(thrown, path);
  }
  return { file: name, at, bytes, kept };
}
