import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { LeadhandError, toLeadhandError } from "../../protocols/error.js";
import { chunksOf } from "../job/derive.js";
import { readJob, type JobContent } from "../job/read-job.js";
import { diskTrouble } from "../job/trouble.js";
import { conclusionFor } from "./conclusion.js";
import { jobFiles, readingFiles } from "./pack-files.js";
import { reportPhotos } from "./photos.js";
import type { PrintPdf } from "./print-pdf.js";
import type { ReportInput } from "./report/model.js";
import { renderReport } from "./report/render.js";
import type { ShopKey } from "./shop-key.js";
import { stepTraces } from "./step-traces.js";
import { utf8, writeBag, type BagOptions, type WrittenBag } from "./write-bag.js";
import type { PackFile } from "./zip-write.js";

export interface PackOptions extends BagOptions {
  readonly withCustomer: boolean;
  /** Folder of the run before the repair, to stand beside this one. */
  readonly before: string | null;
  readonly paper: "A4" | "Letter";
  /** null where nothing is installed that prints. */
  readonly printPdf: PrintPdf | "not-wanted" | null;
}

export interface Packed extends WrittenBag {
  /** What the pack does without, in words. */
  readonly warnings: readonly string[];
}

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
