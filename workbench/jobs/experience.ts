import { join } from "node:path";
import { readRecord } from "../job/read-job.js";
import type { JobRecord } from "../job/read-job.js";
import { nodeDisk } from "../job/disk.js";
import type { Disk } from "../job/disk.js";
import type { Experience } from "../models/experience.js";
import type { ToolModel } from "../models/model.js";

/**
 * What the shop's own closed jobs found in tools of one kind: the counts of a Dirichlet prior. A job
 * counts when its plan was run to its end on a real tool; a run that repeats another after the
 * repair does not, because its tool has been put right. Null where there is nothing to learn from.
 */
export function experienceOf(model: ToolModel, jobs: readonly JobRecord[]): Experience | null {
  const closed = jobs.filter(({ file }) => {
    return file.plan.tool.kind === model.kind && !file.practice && file.repeats === null;
  });
  const found = closed.flatMap((job) => condemnedIn(job) ?? []);
  const tools = closed.filter((job) => condemnedIn(job) !== null).length;
  return tools === 0 ? null : { tools, faults: model.parts.flatMap((part) => counts(part, found)) };
}

/** Parts that the record's own conclusion condemned; null where the run came to none. */
function condemnedIn({ lines }: JobRecord): string[] | null {
  const last = lines.map(({ event }) => event).findLast(({ kind }) => kind === "conclusion");
  if (last?.kind !== "conclusion") return null;
  return last.parts.filter(({ state }) => state === "condemned").map(({ id }) => id);
}

/** The record names the part, not how it failed: its count is shared out as its faults are likely. */
function counts(part: ToolModel["parts"][number], found: readonly string[]): Experience["faults"] {
  const count = found.filter((id) => id === part.id).length;
  if (count === 0) return [];
  const total = part.modes.reduce((sum, mode) => sum + mode.odds, 0);
  return part.modes.map((mode) => ({
    part: part.id,
    mode: mode.id,
    count: (count * mode.odds) / total,
  }));
}

/** The same from the folder that holds the jobs; a folder that is no job teaches nothing. */
export async function learnedExperience(
  model: ToolModel,
  jobs: string,
  disk: Disk = nodeDisk,
): Promise<Experience | null> {
  const names = (await disk.list(jobs)) ?? [];
  const records: JobRecord[] = [];
  for (const name of names) {
    const record = await readRecord(join(jobs, name), disk).catch(() => null);
    if (record !== null) records.push(record);
  }
  return experienceOf(model, records);
}
