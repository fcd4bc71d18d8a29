import { createHash } from "node:crypto";
import { openZip, ZipRefusal, type ZipEntry } from "./zip-read.js";

/** A pack, opened and every file of it hashed; contents can be read again as often as needed. */
export interface OpenPack {
  /** Name of the one folder that everything lies in. */
  readonly folder: string;
  /** By path in the bag. */
  readonly files: ReadonlyMap<string, PackedFile>;
  close(): void;
}

interface PackedFile {
  readonly sha256: string;
  readonly bytes: number;
  read(): AsyncGenerator<Uint8Array>;
}

/** Rejects with a `ZipRefusal` where the zip is not to be trusted; reads, never writes. */
export async function openPack(path: string): Promise<OpenPack> {
  const zip = await openZip(path);
  try {
    const folder = commonFolder(zip.entries);
    const files = new Map<string, PackedFile>();
    for (const entry of zip.entries) {
      files.set(entry.name.slice(folder.length + 1), await hashed(entry));
    }
    return { folder, files, close: () => zip.close() };
  } catch (thrown) {
    zip.close();
    throw thrown;
  }
}

function commonFolder(entries: readonly ZipEntry[]): string {
  const folders = new Set(entries.map(({ name }) => name.slice(0, name.indexOf("/"))));
  const [folder] = folders;
  if (folder === undefined) throw new ZipRefusal("not-a-bag", "", "it is empty");
  if (folders.size > 1 || folder === "") {
    throw new ZipRefusal(
      "not-a-bag",
      "",
      "its files do not lie in one folder, as those of a bag do",
    );
  }
  return folder;
}

async function hashed(entry: ZipEntry): Promise<PackedFile> {
  const hash = createHash("sha256");
  let bytes = 0;
  for await (const piece of entry.read()) {
    hash.update(piece);
    bytes += piece.length;
  }
  return { sha256: hash.digest("hex"), bytes, read: () => entry.read() };
}

/** The whole text of a small file; null where it is absent, not UTF-8, or not small. */
export async function textOf(pack: OpenPack, path: string): Promise<string | null> {
  const bytes = await bytesOf(pack, path);
  if (bytes === null) return null;
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

export async function bytesOf(pack: OpenPack, path: string): Promise<Uint8Array | null> {
  const file = pack.files.get(path);
  if (file === undefined || file.bytes > LARGEST_TEXT) return null;
  const pieces: Uint8Array[] = [];
  for await (const piece of file.read()) pieces.push(piece);
  return new Uint8Array(Buffer.concat(pieces));
}

const LARGEST_TEXT = 64 << 20;
