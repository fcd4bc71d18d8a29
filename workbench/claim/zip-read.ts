import { openPromise, validateFileName, type Entry, type ZipFile } from "yauzl";

/** Bounds of what is looked at; a claim is some megabytes, a bomb is not. */
export interface ZipBounds {
  readonly entries: number;
  /** Bytes of all files together, unpacked. */
  readonly total: number;
  /** How often larger than packed one file may become, beyond what is always allowed. */
  readonly ratio: number;
}

const ZIP_BOUNDS: ZipBounds = { entries: 10_000, total: 4 * 2 ** 30, ratio: 200 };

/** Why a zip is not looked into any further. */
export type ZipFault =
  | "not-a-bag"
  | "truncated"
  | "unsafe-name"
  | "duplicate-name"
  | "link"
  | "bomb"
  | "overlap"
  | "encrypted"
  | "damaged";

export class ZipRefusal extends Error {
  readonly fault: ZipFault;
  /** The entry it is about, "" for the zip as a whole. */
  readonly entry: string;

  constructor(fault: ZipFault, entry: string, words: string) {
    super(words);
    this.fault = fault;
    this.entry = entry;
  }
}

export interface ZipEntry {
  readonly name: string;
  readonly size: number;
  /** Streams the content; rejects with a `ZipRefusal` where it is damaged. */
  read(): AsyncGenerator<Uint8Array>;
}

/**
 * Opens a zip that may come from an enemy. Every entry is looked at before any content is: names
 * that leave the folder, names that come twice, links, encryption, entries that share bytes, and
 * sizes beyond the bounds are refused. Nothing is ever written.
 */
export async function openZip(
  path: string,
  bounds: ZipBounds = ZIP_BOUNDS,
): Promise<{ readonly entries: readonly ZipEntry[]; close(): void }> {
  const zip = await openPromise(path, { autoClose: false, decodeStrings: false }).catch(
    (thrown: unknown) => {
      throw openingFault(thrown);
    },
  );
  try {
    const entries = await listEntries(zip, bounds);
    await assertApart(zip, entries);
    return {
      entries: entries
        .filter(({ name }) => !name.endsWith("/"))
        .map(({ name, entry }) => ({
          name,
          size: entry.uncompressedSize,
          read: () => contentOf(zip, entry, name),
        })),
      close: () => zip.close(),
    };
  } catch (thrown) {
    zip.close();
    throw thrown instanceof ZipRefusal ? thrown : damaged("", thrown);
  }
}

interface Named {
  readonly name: string;
  readonly entry: Entry;
}

async function listEntries(zip: ZipFile, bounds: ZipBounds): Promise<Named[]> {
  if (zip.entryCount > bounds.entries) {
    throw new ZipRefusal("bomb", "", `it holds ${zip.entryCount} files`);
  }
  const seen = new Map<string, string>();
  const entries: Named[] = [];
  let total = 0;
  for await (const entry of zip.eachEntry()) {
    const name = nameOf(entry);
    assertSafe(name, entry);
    assertNew(name, seen);
    total += entry.uncompressedSize;
    assertBounded(name, entry, total, bounds);
    entries.push({ name, entry });
  }
  return entries;
}

function nameOf(entry: Entry): string {
  const raw = entry.fileName as unknown as Buffer;
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(raw);
  } catch {
    throw new ZipRefusal("unsafe-name", raw.toString("latin1"), "its name is not UTF-8");
  }
}

function assertSafe(name: string, entry: Entry): void {
  const odd = validateFileName(name);
  const control = /[\u0000-\u001f\u007f\\]/.test(name);
  const segments = name.replace(/\/$/, "").split("/");
  const empty = segments.some((segment) => segment === "" || segment === "." || segment === "..");
  if (odd !== null || control || empty || /^[A-Za-z]:/.test(name)) {
    throw new ZipRefusal("unsafe-name", name, "its name leads outside of the pack or is malformed");
  }
  // The upper half of the external attributes is the Unix mode; S_IFMT tells the kind of file.
  const kind = (entry.externalFileAttributes >>> 16) & 0o170000;
  if (kind !== 0 && kind !== 0o100000 && kind !== 0o040000) {
    throw new ZipRefusal("link", name, "it is a link or a device, not a file");
  }
  if (entry.isEncrypted()) throw new ZipRefusal("encrypted", name, "it is encrypted");
}

/** Two names that a file system takes for one are as bad as the same name twice. */
function assertNew(name: string, seen: Map<string, string>): void {
  const folded = name.normalize("NFC").toLowerCase().replace(/\/$/, "");
  const other = seen.get(folded);
  if (other !== undefined) {
    throw new ZipRefusal("duplicate-name", name, `it comes twice (also as ${other})`);
  }
  seen.set(folded, name);
}

function assertBounded(name: string, entry: Entry, total: number, bounds: ZipBounds): void {
  const { uncompressedSize, compressedSize } = entry;
  const allowed = FREE_BYTES + compressedSize * bounds.ratio;
  if (total > bounds.total || uncompressedSize > allowed) {
    throw new ZipRefusal("bomb", name, `it unpacks ${compressedSize} bytes to ${uncompressedSize}`);
  }
}

/** Bytes a file may have however small it packs: a trace of a steady meter packs well. */
const FREE_BYTES = 16 << 20;

/** Entries that share bytes are how a small zip claims to be huge. */
async function assertApart(zip: ZipFile, entries: readonly Named[]): Promise<void> {
  const ranges = [];
  for (const { name, entry } of entries) {
    const local = await zip.readLocalFileHeaderPromise(entry);
    const localName = local.fileName.toString("utf8");
    if (localName !== name) {
      throw new ZipRefusal("damaged", name, `its own header calls it ${JSON.stringify(localName)}`);
    }
    const from = entry.relativeOffsetOfLocalHeader;
    ranges.push({ name, from, to: local.fileDataStart + entry.compressedSize });
  }
  ranges.sort((a, b) => a.from - b.from);
  for (const [index, range] of ranges.entries()) {
    const before = ranges[index - 1];
    if (before !== undefined && before.to > range.from) {
      throw new ZipRefusal("overlap", range.name, `it shares bytes with ${before.name}`);
    }
  }
}

async function* contentOf(zip: ZipFile, entry: Entry, name: string): AsyncGenerator<Uint8Array> {
  try {
    const stream = await zip.openReadStreamPromise(entry);
    let left = entry.uncompressedSize;
    for await (const piece of stream) {
      left -= (piece as Uint8Array).length;
      if (left < 0) throw new ZipRefusal("bomb", name, "it is larger than it says");
      yield piece as Uint8Array;
    }
  } catch (thrown) {
    throw thrown instanceof ZipRefusal ? thrown : damaged(name, thrown);
  }
}

function openingFault(thrown: unknown): Error {
  const message = thrown instanceof Error ? thrown.message : String(thrown);
  if (/end of central directory|invalid|malformed|expected|unexpected/i.test(message)) {
    return new ZipRefusal("truncated", "", `its directory is missing or not whole (${message})`);
  }
  return thrown instanceof Error ? thrown : new Error(message);
}

function damaged(name: string, thrown: unknown): ZipRefusal {
  const message = thrown instanceof Error ? thrown.message : String(thrown);
  return new ZipRefusal("damaged", name, `it cannot be unpacked (${message})`);
}
