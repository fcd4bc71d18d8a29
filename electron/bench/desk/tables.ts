import {
  accuracySchema,
  calibrationEnd,
  calibrationExpired,
} from "../../../workbench/measurement/accuracy.js";
import type { Accuracy } from "../../../workbench/measurement/accuracy.js";
import { LeadhandError } from "../../../protocols/error.js";
import type { Handlers } from "../calls-server.js";
import { fileNameOf, keepInShop, readText, shopFiles } from "./shop-folder.js";

/** The accuracy tables of the shop's meters. */
export function tableHandlers(jobs: string) {
  return {
    listTables: async () => {
      const today = new Date().toISOString().slice(0, 10);
      return (await readTables(jobs)).map((table) => ({
        ...table,
        calibratedUntil: calibrationEnd(table),
        outOfCalibration: calibrationExpired(table, today),
      }));
    },
    saveTable: async ({ table }) => {
      const checked = accuracySchema.safeParse(table);
      if (!checked.success) throw badTable(checked.error.issues[0]);
      await keepInShop(
        jobs,
        "meters",
        fileNameOf(table.meter),
        JSON.stringify(checked.data, null, 2),
      );
      return {};
    },
  } satisfies Handlers;
}

/** The table of that name; null where the name is empty. Rejects with `input/accuracy`. */
export async function tableNamed(jobs: string, name: string): Promise<Accuracy | null> {
  if (name === "") return null;
  const found = (await readTables(jobs)).find(({ meter }) => meter === name);
  if (found) return found;
  throw new LeadhandError("input/accuracy", {
    what: `There is no accuracy table for "${name}".`,
    action: "Choose one of the list, or enter it under Meters.",
  });
}

/** A file that is no table any more is left out of the list, not of the folder. */
async function readTables(jobs: string): Promise<Accuracy[]> {
  const files = await shopFiles(jobs, "meters");
  const tables = await Promise.all(
    files.map(async (file) => {
      try {
        return [accuracySchema.parse(JSON.parse(await readText(file)))];
      } catch {
        return [];
      }
    }),
  );
  return tables.flat();
}

function badTable(issue: { path: PropertyKey[]; message: string } | undefined): LeadhandError {
  const place = issue?.path.map(String).join(".") ?? "";
  return new LeadhandError("input/accuracy", {
    what: `The accuracy table is wrong${place === "" ? "" : ` at ${place}`}: ${issue?.message ?? "unknown reason"}.`,
    action: "Correct it there; nothing was kept.",
  });
}
