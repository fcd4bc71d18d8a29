import type { JobContent } from "../job/read-job.js";
import {
  BAG_DECLARATION,
  formatBagInfo,
  formatManifest,
  formatOxum,
  MANIFEST,
  TAG_MANIFEST,
} from "./bag.js";
import { howToCheck } from "./how-to-check.js";
import type { ShopKey } from "./shop-key.js";
import { digestOf, writeZip, type PackedEntry, type PackFile } from "./zip-write.js";

/** What is said about the bag beside what is in it. */
export interface BagOptions {
  /** The zip to make; replaced where it exists. */
  readonly out: string;
  readonly key: ShopKey;
  /** Name of the shop, "" where it is not to stand in the report. */
  readonly shop: string;
  /** ISO 8601 date. */
  readonly packedOn: string;
  readonly programVersion: string;
}

export interface WrittenBag {
  readonly out: string;
  readonly fingerprint: string;
  /** SHA-256 of the tag manifest: what the signature is over. */
  readonly tagManifestSha256: string;
  readonly files: number;
  readonly bytes: number;
}

/** Where the signature lies in a pack: raw 64 bytes over the tag manifest, and the public key. */
export const SIGNATURE_FILE = `signature/${TAG_MANIFEST}.sig`;
export const PUBLIC_KEY_FILE = "signature/shop-key.pem";

/** Writes a signed bag (RFC 8493) in a zip. */
export async function writeBag(
  job: JobContent,
  payload: readonly PackFile[],
  options: BagOptions,
): Promise<WrittenBag> {
  const data = payload.map((file) => ({ ...file, path: `data/${file.path}` }));
  const digests = await digestAll(data);
  const folder = bagName(job);
  const tags = tagFiles(job, digests, folder, options);
  const tagManifest = formatManifest(await digestAll(tags));
  const signature = options.key.sign(utf8(tagManifest));
  const files: PackFile[] = [
    ...tags,
    { path: TAG_MANIFEST, bytes: utf8(tagManifest) },
    { path: SIGNATURE_FILE, bytes: signature },
    ...data,
  ];
  await writeZip(options.out, folder, files, new Date(`${options.packedOn}T00:00:00Z`));
  return {
    out: options.out,
    fingerprint: options.key.fingerprint,
    tagManifestSha256: (await digestOf({ path: "", bytes: utf8(tagManifest) })).sha256,
    files: files.length,
    bytes: digests.reduce((sum, { bytes }) => sum + bytes, 0),
  };
}

function tagFiles(
  job: JobContent,
  digests: readonly PackedEntry[],
  folder: string,
  options: BagOptions,
): PackFile[] {
  const pdf = digests.some(({ path }) => path === "data/report.pdf");
  return [
    { path: "bagit.txt", bytes: utf8(BAG_DECLARATION) },
    { path: "bag-info.txt", bytes: utf8(bagInfo(job, digests, options)) },
    { path: MANIFEST, bytes: utf8(formatManifest(digests)) },
    { path: PUBLIC_KEY_FILE, bytes: utf8(options.key.publicPem) },
    {
      path: "HOW-TO-CHECK.txt",
      bytes: utf8(howToCheck({ folder, fingerprint: options.key.fingerprint, pdf })),
    },
  ];
}

/** Reserved labels of RFC 8493, 2.2.2. */
function bagInfo(
  job: JobContent,
  digests: readonly PackedEntry[],
  { shop, packedOn, programVersion }: BagOptions,
): string {
  const { tool, id, practice } = job.file;
  const octets = digests.reduce((sum, { bytes }) => sum + bytes, 0);
  const subject = `${tool.make} ${tool.model}, serial number ${tool.serial}`;
  return formatBagInfo([
    ["Source-Organization", shop],
    [
      "External-Description",
      `${practice ? "PRACTICE, no evidence: " : ""}Bench report, ${subject}`,
    ],
    ["External-Identifier", id],
    ["Bagging-Date", packedOn],
    ["Payload-Oxum", formatOxum({ octets, files: digests.length })],
    ["Bag-Software-Agent", `Leadhand ${programVersion}`],
  ]);
}

async function digestAll(files: readonly PackFile[]): Promise<PackedEntry[]> {
  const digests: PackedEntry[] = [];
  for (const file of files) digests.push(await digestOf(file));
  return digests;
}

/** Letters and digits only: the name of a folder on any system. */
function bagName({ file }: JobContent): string {
  const serial = file.tool.serial.replaceAll(/[^A-Za-z0-9]+/g, "-").replaceAll(/^-+|-+$/g, "");
  return `claim-${serial === "" ? "tool" : serial.slice(0, 40)}-${file.startedAt.slice(0, 10)}`;
}

export function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
