import { constants } from "node:fs";
import * as fs from "node:fs/promises";
import { dirname } from "node:path";

/** One open file. All positions and lengths in bytes. */
export interface DiskFile {
  /** Writes all of `bytes` at `position` or rejects; a rejected write may have written a part. */
  write(bytes: Uint8Array, position: number): Promise<void>;
  /** Reads up to `length` bytes at `position`; shorter at the end of the file. */
  read(position: number, length: number): Promise<Uint8Array>;
  size(): Promise<number>;
  truncate(length: number): Promise<void>;
  /** Resolves when the file's bytes are on the medium, not only in the cache of the system. */
  sync(): Promise<void>;
  close(): Promise<void>;
}

/**
 * What a job needs of a file system, injectable so that tests make it fail. Everything rejects
 * with the system's own error (`code` ENOSPC, EROFS, …).
 */
export interface Disk {
  makeFolder(path: string): Promise<void>;
  /** Names in the folder; null where it does not exist. */
  list(path: string): Promise<readonly string[] | null>;
  /** The whole file; null where it does not exist. */
  readWhole(path: string): Promise<Uint8Array | null>;
  /** For reading and writing, made where absent. */
  open(path: string): Promise<DiskFile>;
  openToRead(path: string): Promise<DiskFile>;
  /** Makes the file with this content in one step; false where it exists already. */
  claim(path: string, content: Uint8Array): Promise<boolean>;
  /** Replaces the file in one step: a reader sees the old content or the new, never a mixture. */
  replace(path: string, content: Uint8Array): Promise<void>;
  remove(path: string): Promise<void>;
  /** Makes names that were added to the folder survive a loss of power. */
  syncFolder(path: string): Promise<void>;
}

export const nodeDisk: Disk = {
  async makeFolder(path) {
    await fs.mkdir(path, { recursive: true });
  },
  list: (path) => orNull(fs.readdir(path)),
  readWhole: (path) => orNull(fs.readFile(path)),
  open: async (path) => nodeFile(await fs.open(path, constants.O_RDWR | constants.O_CREAT, 0o644)),
  openToRead: async (path) => nodeFile(await fs.open(path, constants.O_RDONLY)),
  claim,
  replace,
  async remove(path) {
    await fs.rm(path, { force: true });
  },
  syncFolder,
};

function nodeFile(handle: fs.FileHandle): DiskFile {
  return {
    async write(bytes, position) {
      let done = 0;
      while (done < bytes.length) {
        const { bytesWritten } = await handle.write(
          bytes,
          done,
          bytes.length - done,
          position + done,
        );
        done += bytesWritten;
      }
    },
    async read(position, length) {
      const buffer = new Uint8Array(length);
      let done = 0;
      while (done < length) {
        const { bytesRead } = await handle.read(buffer, done, length - done, position + done);
        if (bytesRead === 0) break;
        done += bytesRead;
      }
      return buffer.subarray(0, done);
    },
    size: async () => (await handle.stat()).size,
    truncate: (length) => handle.truncate(length),
    sync: () => handle.datasync(),
    close: () => handle.close(),
  };
}

/** A hard link fails where the name is taken: content and name appear together. */
async function claim(path: string, content: Uint8Array): Promise<boolean> {
  const draft = `${path}.${process.pid}-${draftNumber++}`;
  await writeSynced(draft, content);
  try {
    await fs.link(draft, path);
    return true;
  } catch (thrown) {
    if (codeOf(thrown) === "EEXIST") return false;
    // Some file systems (FAT on a stick) know no links: the name first, the content after.
    if (await exists(path)) return false;
    return await claimWithoutLink(path, content);
  } finally {
    await fs.rm(draft, { force: true });
  }
}

async function claimWithoutLink(path: string, content: Uint8Array): Promise<boolean> {
  try {
    await fs.writeFile(path, content, { flag: "wx" });
    return true;
  } catch (thrown) {
    if (codeOf(thrown) === "EEXIST") return false;
    throw thrown;
  }
}

async function replace(path: string, content: Uint8Array): Promise<void> {
  const draft = `${path}.${process.pid}-${draftNumber++}`;
  try {
    await writeSynced(draft, content);
    await fs.rename(draft, path);
  } catch (thrown) {
    await fs.rm(draft, { force: true });
    throw thrown;
  }
  await syncFolder(dirname(path));
}

async function writeSynced(path: string, content: Uint8Array): Promise<void> {
  const handle = await fs.open(path, "w", 0o644);
  try {
    await handle.writeFile(content);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function syncFolder(path: string): Promise<void> {
  // Windows opens no folders; there the names are durable with the files.
  if (process.platform === "win32") return;
  const handle = await fs.open(path, constants.O_RDONLY);
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function exists(path: string): Promise<boolean> {
  return (await orNull(fs.stat(path))) !== null;
}

async function orNull<T>(work: Promise<T>): Promise<T | null> {
  try {
    return await work;
  } catch (thrown) {
    if (codeOf(thrown) === "ENOENT") return null;
    throw thrown;
  }
}

/** The system's error code, "" where there is none. */
export function codeOf(thrown: unknown): string {
  if (typeof thrown !== "object" || thrown === null || !("code" in thrown)) return "";
  return typeof thrown.code === "string" ? thrown.code : "";
}

let draftNumber = 0;
