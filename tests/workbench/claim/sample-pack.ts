import { generateKeyPairSync } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fromBufferPromise } from "yauzl";
import { packJob, type Packed, type PackOptions } from "../../../workbench/claim/pack.js";
import { shopKeyOf } from "../../../workbench/claim/shop-key.js";
import { verifyPack, type Verification } from "../../../workbench/claim/verify.js";
import type { ClaimName } from "../../../workbench/claim/check.js";
import { sampleRun } from "../job/sample-run.js";
import { makeZip, type RawEntry } from "./make-zip.js";

const { privateKey } = generateKeyPairSync("ed25519");
export const sampleKey = shopKeyOf(privateKey.export({ type: "pkcs8", format: "pem" }).toString());

export const VERSION = "0.0.0-test";

/** Packs a sample run made in `folder`. */
export async function samplePack(
  folder: string,
  changes: Partial<PackOptions> = {},
): Promise<Packed> {
  const job = join(folder, "job");
  await sampleRun(job, { customer: { name: "Pat Sample", contact: "555-0100", reference: "R-9" } });
  return packAgain(job, join(folder, "claim.zip"), changes);
}

export function packAgain(
  job: string,
  out: string,
  changes: Partial<PackOptions> = {},
): Promise<Packed> {
  return packJob(job, {
    out,
    key: sampleKey,
    shop: "Example bench",
    withCustomer: true,
    before: null,
    paper: "A4",
    packedOn: "2026-03-03",
    programVersion: VERSION,
    printPdf: null,
    ...changes,
  });
}

/** The files of a zip by name, unpacked in memory. */
export async function unpacked(path: string): Promise<Map<string, Buffer>> {
  const zip = await fromBufferPromise(readFileSync(path));
  const files = new Map<string, Buffer>();
  for await (const entry of zip.eachEntry()) {
    const pieces: Buffer[] = [];
    for await (const piece of await zip.openReadStreamPromise(entry)) pieces.push(piece as Buffer);
    files.set(entry.fileName, Buffer.concat(pieces));
  }
  return files;
}

/** Writes a zip again after `change` had its way with the files. */
export async function tampered(
  path: string,
  change: (files: Map<string, Buffer>, folder: string) => void,
): Promise<string> {
  const files = await unpacked(path);
  const folder = [...files.keys()][0]!.split("/")[0]!;
  change(files, folder);
  const entries: RawEntry[] = [...files].map(([name, bytes]) => ({ name, bytes, deflate: true }));
  const target = `${path}.tampered.zip`;
  writeFileSync(target, makeZip(entries));
  return target;
}

/** The claims that were found bad. */
export async function badClaims(path: string, key: string | null = null): Promise<ClaimName[]> {
  return bad(await verifyPack(path, key, VERSION));
}

function bad({ checks }: Verification): ClaimName[] {
  return checks.filter(({ outcome }) => outcome === "bad").map(({ claim }) => claim);
}
