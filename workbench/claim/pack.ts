import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { LeadhandError, toLeadhandError } from "../../protocols/error.js";
import { chunksOf } from "../job/derive.js";
import { readJob, type JobContent } from "../job/read-job.js";
import { diskTrouble } from "../job/trouble.js";
import {
  BAG_DECLARATION,
  formatBagInfo,
  formatManifest,
  formatOxum,
  MANIFEST,
  TAG_MANIFEST,
} from "./bag.js";
import { conclusionFor } from "./conclusion.js";
import { howToCheck } from "./how-to-check.js";
import { jobFiles, readingFiles } from "./pack-files.js";
import { reportPhotos } from "./photos.js";
import type { PrintPdf } from "./print-pdf.js";
import type { ReportInput } from "./report/model.js";
import { renderReport } from "./report/render.js";
import type { ShopKey } from "./shop-key.js";
import { stepTraces } from "./step-traces.js";
import { digestOf, writeZip, type PackedEntry, type PackFile } from "./zip-write.js";

export interface PackOptions {
  /** The zip to make; replaced where it exists. */
  readonly out: string;
  readonly key: ShopKey;
  /** Name of the shop, "" where it is not to stand in the report. */
  readonly shop: string;
  readonly withCustomer: boolean;
  /** Folder of the run before the repair, to stand beside this one. */
  readonly before: string | null;
  readonly paper: "A4" | "Letter";
  /** ISO 8601 date. */
  readonly packedOn: string;
  readonly programVersion: string;
  /** null where nothing is installed that prints. */
  readonly printPdf: PrintPdf | "not-wanted" | null;
}

export interface Packed {
  readonly out: string;
  readonly fingerprint: string;
  /** SHA-256 of the tag manifest: what the signature is over. */
  readonly tagManifestSha256: string;
  readonly files: number;
  readonly bytes: number;
  /** What the pack does without, in words. */
  readonly warnings: readonly string[];
}

/** Where the signature lies in a pack: raw 64 bytes over the tag manifest, and the public key. */
export const SIGNATURE_FILE = `signature/${TAG_MANIFEST}.sig`;
export const PUBLIC_KEY_FILE = "signature/shop-key.pem";

/** Makes a claim pack of a job. Rejects with `job/…` or `pack/…`; the job is only read. */
export async function packJob(folder: string, options: PackOptions): Promise<Packed> {
  const job = await readJob(folder);
  const before = options.before === null ? null : await readJob(options.before);
  const scratch = await mkdtemp(join(tmpdir(), "leadhand-pack-"));
  try {
    const { payload, warnings } = await gatherPayload(job, before, options, scratch);
    return { ...(await writeBag(job, payload, options)), warnings };
  } catch (thrown) {
    if (thrown instanceof LeadhandError) throw thrown;
    throw diskTrouble(thrown, options.out);
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

interface Payload {
  readonly payload: readonly PackFile[];
  readonly warnings: readonly string[];
}

async function gatherPayload(
  job: JobContent,
  before: JobContent | null,
  options: PackOptions,
  scratch: string,
): Promise<Payload> {
  const html = renderReport(await reportInput(job, before, options));
  const pdf = await printed(html, options.printPdf, scratch);
  const readings = await readingFiles(job, scratch);
  const payload: PackFile[] = [
    { path: "report.html", bytes: utf8(html) },
    ...pdf.files,
    { path: "plan.json", bytes: utf8(`${JSON.stringify(job.file.plan, null, 2)}\n`) },
    ...(await jobFiles(job, "job", options.withCustomer)),
    ...(before === null ? [] : await jobFiles(before, "job-before", options.withCustomer)),
    ...readings.files,
  ];
  return { payload, warnings: [...damageWords(job), ...pdf.warnings, ...readings.warnings] };
}

async function reportInput(
  job: JobContent,
  before: JobContent | null,
  options: Pick<PackOptions, "shop" | "withCustomer" | "paper"> & { readonly key: ShopKey | null },
): Promise<ReportInput> {
  return {
    job,
    before,
    conclusion: conclusionFor(job),
    traces: await stepTraces(job, chunksOf(job.folder)),
    tracesBefore: before === null ? new Map() : await stepTraces(before, chunksOf(before.folder)),
    photos: await reportPhotos(job),
    customer: options.withCustomer ? job.customer : null,
    shop: options.shop,
    fingerprint: options.key?.fingerprint ?? null,
    paper: options.paper,
  };
}

async function printed(
  html: string,
  printPdf: PackOptions["printPdf"],
  scratch: string,
): Promise<{ files: PackFile[]; warnings: string[] }> {
  if (printPdf === "not-wanted") return { files: [], warnings: [] };
  if (printPdf === null) {
    const words =
      "No program that prints was found: the report is in the pack as HTML, not as PDF.";
    return { files: [], warnings: [words] };
  }
  const [source, target] = [join(scratch, "report.html"), join(scratch, "report.pdf")];
  try {
    await writeFile(source, html);
    await printPdf(source, target);
    return { files: [{ path: "report.pdf", from: target }], warnings: [] };
  } catch (thrown) {
    return { files: [], warnings: [toLeadhandError(thrown).message] };
  }
}

function damageWords({ damage }: JobContent): string[] {
  return damage.map(({ file, at, what }) => `Damage in the job, ${file} at byte ${at}: ${what}.`);
}

async function writeBag(
  job: JobContent,
  payload: readonly PackFile[],
  options: PackOptions,
): Promise<Omit<Packed, "warnings">> {
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
  options: PackOptions,
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
  { shop, packedOn, programVersion }: PackOptions,
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

function utf8(text: string): Uint8Array {
  return new TextEncoder().encode(text);
}
