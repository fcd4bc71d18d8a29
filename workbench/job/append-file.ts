import { dirname } from "node:path";
import type { Disk, DiskFile } from "./disk.js";
import { diskTrouble, syncTrouble } from "./trouble.js";

/**
 * A file that only grows. A write that failed half way is undone before the next one, so that the
 * file never holds anything but whole pieces in order and, at most, one torn tail.
 */
export class AppendFile {
  readonly path: string;
  readonly #disk: Disk;
  #file: DiskFile | null = null;
  /** Bytes that are written whole. */
  #length: number;
  #maybeLonger = false;
  #unsynced = false;
  /** The file may be new, and its name not yet durable in its folder. */
  #unnamed = true;

  constructor(disk: Disk, path: string, length: number) {
    this.#disk = disk;
    this.path = path;
    this.#length = length;
  }

  /** Rejects with a `LeadhandError`; then nothing of `bytes` counts as written. */
  async append(bytes: Uint8Array): Promise<void> {
    try {
      const file = (this.#file ??= await this.#disk.open(this.path));
      if (this.#maybeLonger) await file.truncate(this.#length);
      this.#maybeLonger = true;
      await file.write(bytes, this.#length);
      this.#maybeLonger = false;
      this.#unsynced = true;
      this.#length += bytes.length;
    } catch (thrown) {
      throw diskTrouble(thrown, this.path);
    }
  }

  async sync(): Promise<void> {
    if (!this.#unsynced || this.#file === null) return;
    try {
      this.#unsynced = false;
      await this.#file.sync();
      if (this.#unnamed) await this.#disk.syncFolder(dirname(this.path));
      this.#unnamed = false;
    } catch (thrown) {
      throw syncTrouble(thrown, this.path);
    }
  }

  async close(): Promise<void> {
    const file = this.#file;
    this.#file = null;
    await file?.close();
  }
}
