import { hostname } from "node:os";
import { join } from "node:path";
import { readFileSync } from "node:fs";
import { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { codeOf, type Disk } from "./disk.js";

/**
 * Who writes a job. Files `lock/000001`, `lock/000002`, …: the highest number counts. A lock whose
 * owner ended is never removed and taken again (two late comers could each remove the other's);
 * it is succeeded by the next number, and only one process can make that file.
 */
const ownerSchema = z.object({
  host: z.string(),
  pid: z.int(),
  /** Distinguishes the process from a later one with the same number; "" where unknown. */
  started: z.string(),
  released: z.boolean(),
});
type Owner = z.infer<typeof ownerSchema>;

export interface Lock {
  release(): Promise<void>;
}

/** What the system tells of processes; injected in tests. */
export interface Processes {
  readonly self: Omit<Owner, "released">;
  /** Is the process that wrote this lock still running on this machine? */
  isAlive(owner: { readonly pid: number; readonly started: string }): boolean;
}

/** Takes the lock of a job folder. Throws `job/in-use`. */
export async function takeLock(
  disk: Disk,
  folder: string,
  processes: Processes = systemProcesses(),
): Promise<Lock> {
  const place = join(folder, "lock");
  await disk.makeFolder(place);
  const last = await newest(disk, place);
  if (last !== null) assertFree(last.owner, folder, processes);
  const number = (last?.number ?? 0) + 1;
  const path = join(place, nameOf(number));
  if (!(await disk.claim(path, encode({ ...processes.self, released: false })))) {
    throw inUse(folder, "another process took it at this moment");
  }
  await removeOlder(disk, place, number);
  return {
    release: () => disk.replace(path, encode({ ...processes.self, released: true })),
  };
}

function assertFree(owner: Owner | null, folder: string, processes: Processes): void {
  if (owner === null) {
    throw inUse(folder, "another process is taking it, or its lock file is damaged");
  }
  if (owner.released) return;
  if (owner.host !== processes.self.host) {
    throw inUse(folder, `it was opened on the machine ${owner.host} and not closed there`);
  }
  if (processes.isAlive(owner)) throw inUse(folder, `process ${owner.pid} writes it`);
}

function inUse(folder: string, why: string): LeadhandError {
  return new LeadhandError("job/in-use", {
    what: `The job ${folder} is in use: ${why}.`,
    action:
      "Close it there first. If nobody has it open (a crash on another machine), delete the " +
      'folder "lock" inside the job and try again.',
  });
}

async function newest(
  disk: Disk,
  place: string,
): Promise<{ number: number; owner: Owner | null } | null> {
  const numbers = ((await disk.list(place)) ?? [])
    .filter((name) => /^\d{6,}$/.test(name))
    .map(Number);
  if (numbers.length === 0) return null;
  const number = Math.max(...numbers);
  const bytes = await disk.readWhole(join(place, nameOf(number)));
  return { number, owner: bytes === null ? null : decode(bytes) };
}

/** Older numbers mean nothing any more; failing to tidy up is no reason to refuse the job. */
async function removeOlder(disk: Disk, place: string, number: number): Promise<void> {
  for (const name of (await disk.list(place)) ?? []) {
    if (/^\d{6,}$/.test(name) && Number(name) < number) {
      await disk.remove(join(place, name)).catch(() => undefined);
    }
  }
}

function nameOf(number: number): string {
  return String(number).padStart(6, "0");
}

function encode(owner: Owner): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(owner)}\n`);
}

function decode(bytes: Uint8Array): Owner | null {
  try {
    return ownerSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
  } catch {
    return null;
  }
}

function systemProcesses(): Processes {
  return {
    self: { host: hostname(), pid: process.pid, started: startOf(process.pid) },
    isAlive: ({ pid, started }) => exists(pid) && startOf(pid) === started,
  };
}

function exists(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (thrown) {
    return codeOf(thrown) === "EPERM";
  }
}

/**
 * Boot and tick at which a process started, so that a reused process number is not taken for the
 * old one. Linux tells (proc(5): field 22 of /proc/PID/stat, counted after the name in brackets);
 * elsewhere "", and a living process with that number counts as the owner.
 */
function startOf(pid: number): string {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
    const boot = readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
    return `${boot}/${fields[19] ?? ""}`;
  } catch {
    return "";
  }
}
