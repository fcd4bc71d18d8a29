import { LeadhandError, type ErrorCode } from "../../protocols/error.js";
import { codeOf } from "./disk.js";

const TEXT: Readonly<Record<string, readonly [ErrorCode, string, string]>> = {
  ENOSPC: [
    "job/disk-full",
    "The disk is full",
    "Free some space; what waits in memory is written as soon as there is room.",
  ],
  EDQUOT: [
    "job/disk-full",
    "The disk quota is used up",
    "Free some space; what waits in memory is written as soon as there is room.",
  ],
  EROFS: [
    "job/read-only",
    "The disk is read-only",
    "Choose another folder for jobs, or make this one writable.",
  ],
  EACCES: [
    "job/denied",
    "This user may not write here",
    "Choose another folder for jobs, or change who may write to this one.",
  ],
  EPERM: [
    "job/denied",
    "This user may not write here",
    "Choose another folder for jobs, or change who may write to this one.",
  ],
};

/** An error of the file system as one of ours, with the place it happened. */
export function diskTrouble(thrown: unknown, path: string): LeadhandError {
  if (thrown instanceof LeadhandError) return thrown;
  const known = TEXT[codeOf(thrown)];
  const [code, what, action] = known ?? [
    "job/disk-failed" as const,
    `The disk failed (${codeOf(thrown) || String(thrown)})`,
    "Check the disk, then close and reopen the job; what was shown as recorded is kept.",
  ];
  return new LeadhandError(code, { what: `${what}: ${path}.`, action, cause: thrown });
}

/** A failed sync leaves no way to know what is on the medium: only reading it again tells. */
export function syncTrouble(thrown: unknown, path: string): LeadhandError {
  return new LeadhandError("job/not-durable", {
    what: `The disk did not confirm what was written: ${path}. It does not count as recorded.`,
    action: "Check the disk, then close and reopen the job; what was shown as recorded is kept.",
    cause: thrown,
  });
}
