import { createHash } from "node:crypto";
import { createReadStream, createWriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { pipeline } from "node:stream/promises";
import { Readable, type Readable as ReadableStream } from "node:stream";
import { ZipFile } from "yazl";
import type { ManifestEntry } from "./bag.js";

/** A file that goes into a pack, by its path in the bag. */
export type PackFile =
  | { readonly path: string; readonly bytes: Uint8Array }
  /** Read from disk while packing; `length` is how much of it belongs in. */
  | { readonly path: string; readonly from: string; readonly length?: number };

export interface PackedEntry extends ManifestEntry {
  readonly bytes: number;
}

/** SHA-256 and length of a file, read once from the beginning. */
export async function digestOf(file: PackFile): Promise<PackedEntry> {
  const hash = createHash("sha256");
  let bytes = 0;
  for await (const piece of streamOf(file)) {
    hash.update(piece as Uint8Array);
    bytes += (piece as Uint8Array).length;
  }
  return { path: file.path, sha256: hash.digest("hex"), bytes };
}

/**
 * Writes the files under one folder into a zip. All carry the same time, so that the same content
 * makes the same file. The zip appears under its name only when it is whole.
 */
export async function writeZip(
  target: string,
  folder: string,
  files: readonly PackFile[],
  mtime: Date,
): Promise<void> {
  const zip = new ZipFile();
  const options = { mtime, mode: 0o100644, forceDosTimestamp: true };
  for (const file of files) {
    const name = `${folder}/${file.path}`;
    if ("bytes" in file) zip.addBuffer(Buffer.from(file.bytes), name, options);
    else zip.addReadStreamLazy(name, options, (give) => give(null, streamOf(file)));
  }
  zip.end();
  const draft = `${target}.${process.pid}.part`;
  try {
    await pipeline(zip.outputStream, createWriteStream(draft, { flush: true }));
    await rename(draft, target);
  } catch (thrown) {
    await rm(draft, { force: true });
    throw thrown;
  }
}

function streamOf(file: PackFile): ReadableStream {
  if ("bytes" in file) return Readable.from([file.bytes]);
  if (file.length === undefined) return createReadStream(file.from);
  if (file.length === 0) return Readable.from([]);
  return createReadStream(file.from, { end: file.length - 1 });
}
