import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { packJob } from "../../../workbench/claim/pack.js";
import { browserPrinter, findPrinter } from "../../../workbench/claim/print-pdf.js";
import { defaultKeyPath, openShopKey } from "../../../workbench/claim/shop-key.js";
import { verifyPack } from "../../../workbench/claim/verify.js";
import { programVersion } from "../../version.js";
import type { Handlers } from "../calls-server.js";

/** Claim packs, made into `packs` beside the jobs with the shop's own key. */
export function packHandlers(jobs: string, env: NodeJS.ProcessEnv) {
  return {
    packJob: async ({ job, shop, withCustomer, before, paper }) => {
      const folder = join(jobs, "packs");
      await mkdir(folder, { recursive: true });
      const printer = findPrinter(env);
      const packed = await packJob(join(jobs, job), {
        out: join(folder, `${job}.zip`),
        key: await openShopKey(defaultKeyPath(env)),
        shop,
        withCustomer,
        before: before === null ? null : join(jobs, before),
        paper,
        packedOn: new Date().toISOString().slice(0, 10),
        programVersion: programVersion(),
        printPdf: printer === null ? null : browserPrinter(printer),
      });
      const { out, files, bytes, fingerprint, warnings } = packed;
      return { file: out, files, bytes, fingerprint, warnings: [...warnings] };
    },
    verifyPack: async ({ file }) => {
      const { good, checks } = await verifyPack(file, null, programVersion());
      return { good, checks: checks.map((check) => ({ ...check, places: [...check.places] })) };
    },
  } satisfies Handlers;
}
