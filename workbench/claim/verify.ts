import { LeadhandError } from "../../protocols/error.js";
import { codeOf } from "../job/disk.js";
import { check, CLAIMS, type Check, type ClaimName } from "./check.js";
import { checkFiles } from "./check-files.js";
import {
  checkJournal,
  checkReadings,
  checkTraces,
  checkVerdicts,
  packedJob,
} from "./check-record.js";
import { checkSignature } from "./check-signature.js";
import { openPack, type OpenPack } from "./open-pack.js";
import { ZipRefusal, type ZipFault } from "./zip-read.js";

export interface Verification {
  /** One for each claim, in order. */
  readonly checks: readonly Check[];
  /** Nothing was found bad. */
  readonly good: boolean;
}

/**
 * Looks at every claim a pack makes. Reads only: nothing is unpacked to disk. Rejects with
 * `pack/not-found` where there is no such file; whatever is wrong inside is a check that is bad.
 */
export async function verifyPack(
  path: string,
  expectedKey: string | null,
  programVersion: string,
): Promise<Verification> {
  let pack: OpenPack;
  try {
    pack = await openPack(path);
  } catch (thrown) {
    if (thrown instanceof ZipRefusal) return verification([refused(thrown)]);
    throw unreadable(path, thrown);
  }
  try {
    return verification([
      check("container", "good", "The zip is whole and safe to unpack."),
      ...(await checkFiles(pack)),
      ...(await checkSignature(pack, expectedKey)),
      ...(await checkRecord(pack, programVersion)),
    ]);
  } finally {
    pack.close();
  }
}

async function checkRecord(pack: OpenPack, programVersion: string): Promise<Check[]> {
  const job = await packedJob(pack, "data/job");
  if (job === null) {
    return [check("journal", "bad", "There is no readable job in the pack.", ["data/job"])];
  }
  return [
    checkJournal(pack, job, "data/job"),
    await checkTraces(pack, job, "data/job"),
    await checkReadings(pack, job),
    await checkVerdicts(job, programVersion),
  ];
}

/** What stands after a claim that stopped the looking is open, not good. */
function verification(found: readonly Check[]): Verification {
  const byClaim = new Map(found.map((each) => [each.claim, each]));
  const checks = CLAIMS.map((claim) => byClaim.get(claim) ?? notReached(claim));
  return { checks, good: checks.every(({ outcome }) => outcome !== "bad") };
}

function notReached(claim: ClaimName): Check {
  return check(claim, "open", "Not looked at, because of what was found before.");
}

const FAULTS: Readonly<Record<ZipFault, string>> = {
  "not-a-bag": "This zip is not a claim pack",
  truncated: "The zip is cut short or is not a zip",
  "unsafe-name": "The zip is hostile: a file in it would be written outside of its folder",
  "duplicate-name": "The zip is hostile: two files in it have one name",
  link: "The zip is hostile: it holds a link or a device",
  bomb: "The zip is hostile: it unpacks to far more than it should",
  overlap: "The zip is hostile: files in it share their bytes",
  encrypted: "The zip is encrypted; a claim pack is not",
  damaged: "The zip is damaged",
};

function refused({ fault, entry, message }: ZipRefusal): Check {
  const words = `${FAULTS[fault]}: ${entry === "" ? message : `${JSON.stringify(entry)}, ${message}`}. Nothing of it was unpacked.`;
  return check("container", "bad", words, entry === "" ? [] : [entry]);
}

function unreadable(path: string, thrown: unknown): LeadhandError {
  const code = codeOf(thrown);
  return new LeadhandError(code === "ENOENT" ? "pack/not-found" : "pack/unreadable", {
    what: `The pack ${path} cannot be read${code === "" ? "" : ` (${code})`}.`,
    action: "Check the name and that you may read it.",
    cause: thrown,
  });
}
