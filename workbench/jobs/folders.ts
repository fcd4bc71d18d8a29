import { cp, lstat, readdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { LeadhandError } from "../../protocols/error.js";
import { nodeDisk } from "../job/disk.js";
import { notAJob } from "../job/job-file.js";
import { takeLock } from "../job/lock.js";
import { readJob, readJobFile } from "../job/read-job.js";

/** Folders of jobs under `jobs`, by name, in order; what holds no job.json is something else. */
export async function jobFolders(jobs: string): Promise<string[]> {
  const names: string[] = [];
  for (const entry of await readdir(jobs, { withFileTypes: true }).catch(() => [])) {
    if (!entry.isDirectory() || entry.name.startsWith(".")) continue;
    if ((await sizeAndTime(join(jobs, entry.name, "job.json"))) !== "") names.push(entry.name);
  }
  return names.sort();
}

/** Changes when anything the index knows of a job changed. */
export async function stampOf(folder: string): Promise<string> {
  const files = ["job.json", "journal.ndjson", ARCHIVED];
  return (await Promise.all(files.map((name) => sizeAndTime(join(folder, name))))).join(" ");
}

async function sizeAndTime(path: string): Promise<string> {
  const found = await stat(path).catch(() => null);
  return found === null ? "" : `${found.size}@${found.mtimeMs}`;
}

/** Marks a job that is out of the way; nothing else about it changes. */
const ARCHIVED = "archived";

export async function isArchived(folder: string): Promise<boolean> {
  return (await sizeAndTime(join(folder, ARCHIVED))) !== "";
}

export async function archiveJob(folder: string, archived: boolean): Promise<void> {
  await readJobFile(folder);
  const path = join(folder, ARCHIVED);
  if (archived) await writeFile(path, "out of the way; delete this file to bring the job back\n");
  else await rm(path, { force: true });
}

/** What deleting a job means, in words, to be shown before it is done. */
export async function deletionWords(folder: string): Promise<string> {
  const { file, lines, traces } = await readJob(folder);
  const { make, model, serial } = file.tool;
  const bytes = [...traces.values()].reduce((sum, trace) => sum + trace.length, 0);
  return (
    `This deletes ${lines.length} journal lines and ${bytes} bytes of raw traces of ${make} ${model}, ` +
    `serial number ${serial}. They cannot be brought back. Claim packs made from this job stay valid; ` +
    "without one, nothing of the evidence is left."
  );
}

/**
 * Deletes a job for good. `serial` must be the tool's, as the person was shown it. Rejects with
 * `job/in-use` and `job/other-serial`.
 */
export async function deleteJob(folder: string, serial: string): Promise<void> {
  const { tool } = await readJobFile(folder);
  if (tool.serial !== serial) {
    throw new LeadhandError("job/other-serial", {
      what: `The tool of this job has the serial number ${tool.serial}, not ${serial}.`,
      action: "Nothing was deleted. Look again at which job it is.",
    });
  }
  await takeLock(nodeDisk, folder);
  // Out of sight in one step: a deletion that is cut short leaves no half of a job behind.
  const gone = join(folder, "..", `.deleted-${basename(folder)}-${process.pid}`);
  await rename(folder, gone);
  await rm(gone, { recursive: true });
}

/**
 * Copies a job from another bench into `jobs`; the original stays. Resolves with its new name.
 * Rejects with `job/not-a-job`, `job/exists` (the same job is here already).
 */
export async function importJob(from: string, jobs: string): Promise<string> {
  const { file, journal } = await readJob(from);
  const name = await freeName(jobs, basename(from), file.id);
  await assertPlainFiles(from);
  const draft = join(jobs, `.import-${name}-${process.pid}`);
  try {
    await cp(from, draft, { recursive: true, filter: (path) => !isLocal(path, from) });
    const copy = await readJob(draft);
    if (copy.journal.lastHash !== journal.lastHash) throw notAJob(from, "it changed while copied");
    await rename(draft, join(jobs, name));
    return name;
  } finally {
    await rm(draft, { recursive: true, force: true });
  }
}

/** The lock belongs to the other bench, the cache is made anew. */
function isLocal(path: string, from: string): boolean {
  return [join(from, "lock"), join(from, "cache")].includes(path);
}

async function freeName(jobs: string, wanted: string, id: string): Promise<string> {
  const taken = new Set(await jobFolders(jobs));
  for (const name of taken) {
    const { id: other } = await readJobFile(join(jobs, name));
    if (other !== id) continue;
    throw new LeadhandError("job/exists", {
      what: `This job is here already, as ${name}.`,
      action: "Open that one. To take the other copy instead, archive or delete it first.",
    });
  }
  for (let n = 2; ; n++) {
    const name = n === 2 ? wanted : `${wanted}-${n - 1}`;
    if (!taken.has(name)) return name;
  }
}

/** A link in a job from elsewhere could point at anything on this machine. */
async function assertPlainFiles(folder: string): Promise<void> {
  for (const name of await readdir(folder, { recursive: true })) {
    const found = await lstat(join(folder, name));
    if (!found.isFile() && !found.isDirectory())
      throw notAJob(folder, `${name} is not a plain file`);
  }
}
