import { mkdir, readdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { LeadhandError } from "../../../protocols/error.js";

/** What the shop keeps beside its jobs: one JSON file a thing. */
export type ShopKind = "plans" | "meters" | "prices" | "order";

export function shopFolder(jobs: string, kind: ShopKind): string {
  return join(jobs, "shop", kind);
}

/** Names of the files of one kind, in order; none where nothing was kept yet. */
export async function shopFiles(jobs: string, kind: ShopKind): Promise<string[]> {
  const folder = shopFolder(jobs, kind);
  const names = await readdir(folder).catch(() => []);
  return names
    .filter((name) => name.endsWith(".json"))
    .sort()
    .map((name) => join(folder, name));
}

/** Replaces the file as a whole: who reads it meanwhile sees the old one or the new one. */
export async function keepInShop(
  jobs: string,
  kind: ShopKind,
  name: string,
  text: string,
): Promise<string> {
  const folder = shopFolder(jobs, kind);
  const file = join(folder, `${name}.json`);
  try {
    await mkdir(folder, { recursive: true });
    await writeFile(`${file}.new`, text, "utf8");
    await rename(`${file}.new`, file);
  } catch (cause) {
    throw new LeadhandError("desktop/not-kept", {
      what: `${file} cannot be written: ${(cause as Error).message}.`,
      action:
        "Check that the disk has room and that the folder may be written to; nothing was lost.",
      cause,
    });
  }
  return file;
}

/** Lower-case words and digits joined by hyphens, for a file of that name. */
export function fileNameOf(title: string): string {
  const name = title
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, "-")
    .replaceAll(/^-|-$/g, "");
  return name === "" ? "unnamed" : name.slice(0, 80);
}

export async function readText(file: string): Promise<string> {
  return readFile(file, "utf8");
}
