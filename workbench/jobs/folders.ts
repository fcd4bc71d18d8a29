import { cp, lstat, mkdir, readdir, rename, rm, stat, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { LeadhandError, toLeadhandError } from "../../protocols/error.js";
import { nodeDisk } from "../job/disk.js";
import { notAJob } from "../job/job-file.js";
import { takeLock } from "../job/lock.js";
import { readJob, readJobFile, type JobContent } from "../job/read-job.js";

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
export function deletionWords({ file, lines, traces }: JobContent): string {
  const { make, model, serial } = file.tool;
  const bytes = [...traces.values()].reduce((sum, trace) => sum + trace.length, 0);
  return (
    `This deletes ${lines.length} journal lines and ${bytes} bytes of raw traces of ${make} ${model}, ` +
    `serial number ${serial === "" ? "not stated" : serial}. They cannot be brought back. Claim packs made from this job stay valid; ` +
    "without one, nothing of the evidence is left."
  );
}

/** What a person types to show that they mean this job: the tool's serial, else the job's folder. */
export function confirmationOf(folder: string, serial: string): string {
  return serial === "" ? basename(folder) : serial;
}

/**
 * Deletes a job for good. `confirmed` must be as `confirmationOf` says, as the person was shown it.
 * Rejects with `job/in-use` and `job/other-serial`.
 */
export async function deleteJob(folder: string, confirmed: string): Promise<void> {
  const { tool } = await readJobFile(folder);
  const wanted = confirmationOf(folder, tool.serial);
  if (wanted !== confirmed) {
    throw new LeadhandError("job/other-serial", {
      what: `The job ${basename(folder)} is of "${wanted}", not of "${confirmed}".`,
      action: "Nothing was deleted. Look again at which job it is.",
    });
  }
  await takeLock(nodeDisk, folder);
  // Out of sight in one step: a deletion that is cut short leaves no half of a job behind.
  const gone = join(folder, "..", `.deleted-${basename(folder)}-${process.pid}`);
  await rename(folder, gone);
  await rm(gone, { recursive: true });
}

export interface Imported {
  /** The folder that was to be imported. */
  readonly from: string;
  /** Its name here; null where it was not taken. */
  readonly job: string | null;
  /** Why it was not taken. */
  readonly why: string | null;
}

/** Imports one job, or every job of another bench's folder; each is taken or refused by itself. */
export async function importFolder(from: string, jobs: string): Promise<Imported[]> {
  const names = await jobFolders(from);
  const isJob = (await sizeAndTime(join(from, "job.json"))) !== "" || names.length === 0;
  const folders = isJob ? [from] : names.map((name) => join(from, name));
  const imported: Imported[] = [];
  for (const folder of folders) {
    const taken = await importJob(folder, jobs).then(
      (job) => ({ job, why: null }),
      (thrown: unknown) => ({ job: null, why: toLeadhandError(thrown).message }),
    );
    imported.push({ from: folder, ...taken });
  }
  return imported;
}

/**
 * Copies a job from another bench into `jobs`; the original stays. Resolves with its new name.
 * Rejects with `job/not-a-job`, `job/exists` (the same job is here already).
 */
export async function importJob(from: string, jobs: string): Promise<string> {
  const { file, journal } = await readJob(from);
  const name = await freeName(jobs, basename(from).replace(/^\.+/, "job-"), file.id);
  await assertPlainFiles(from);
  const draft = join(jobs, `.import-${name}-${process.pid}`);
  await mkdir(jobs, { recursive: true });
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
    const other = await readJobFile(join(jobs, name)).catch(() => null);
    if (other?.id !== id) continue;
    throw new LeadhandError("job/exists", {
      what: `This job is here already, as ${name}.`,
      action: "Open that one. To take the other copy instead, archive or delete it first.",
    });
  }
  const here = new Set(await readdir(jobs).catch(() => []));
  for (let n = 1; ; n++) {
    const name = n === 1 ? wanted : `${wanted}-${n}`;
    if (!here.has(name)) return name;
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
