import { dirname } from "node:path";
import type { Disk, DiskFile } from "../../../workbench/job/disk.js";

/**
 * A disk in memory that forgets what was not synced, as a loss of power makes it: every write that
 * waited for a sync is there whole, in part, as zeros, or not at all; a name that waited for the
 * sync of its folder may be gone.
 */
export class LossyDisk implements Disk {
  #files = new Map<string, LossyFile>();
  readonly #random: (below: number) => number;

  constructor(random: (below: number) => number) {
    this.#random = random;
  }

  /** What is on the medium after the power went. */
  powerLost(): LossyDisk {
    const after = new LossyDisk(this.#random);
    for (const [path, file] of this.#files) {
      if (!file.named && this.#random(2) === 0) continue;
      after.#files.set(path, file.remains(this.#random));
    }
    return after;
  }

  makeFolder(): Promise<void> {
    return Promise.resolve();
  }

  list(path: string): Promise<readonly string[] | null> {
    const inside = [...this.#files.keys()].filter((name) => name.startsWith(`${path}/`));
    const names = inside.map((name) => name.slice(path.length + 1).split("/")[0] ?? "");
    return Promise.resolve(names.length === 0 ? null : [...new Set(names)]);
  }

  readWhole(path: string): Promise<Uint8Array | null> {
    return Promise.resolve(this.#files.get(path)?.content ?? null);
  }

  open(path: string): Promise<DiskFile> {
    const file = this.#files.get(path) ?? new LossyFile();
    this.#files.set(path, file);
    return Promise.resolve(file);
  }

  openToRead(path: string): Promise<DiskFile> {
    return this.open(path);
  }

  claim(path: string, content: Uint8Array): Promise<boolean> {
    if (this.#files.has(path)) return Promise.resolve(false);
    this.#files.set(path, new LossyFile(content));
    return Promise.resolve(true);
  }

  async replace(path: string, content: Uint8Array): Promise<void> {
    const file = new LossyFile(content);
    this.#files.set(path, file);
    await this.syncFolder(dirname(path));
  }

  remove(path: string): Promise<void> {
    this.#files.delete(path);
    return Promise.resolve();
  }

  syncFolder(path: string): Promise<void> {
    for (const [name, file] of this.#files) if (dirname(name) === path) file.named = true;
    return Promise.resolve();
  }
}

class LossyFile implements DiskFile {
  named = false;
  content: Uint8Array;
  #durable: Uint8Array;
  #waiting: { readonly bytes: Uint8Array; readonly position: number }[] = [];

  constructor(content: Uint8Array = new Uint8Array(0)) {
    this.content = content;
    this.#durable = content;
  }

  remains(random: (below: number) => number): LossyFile {
    let bytes = this.#durable;
    for (const write of this.#waiting) {
      const fate = random(4);
      if (fate === 0) continue;
      const kept =
        fate === 1 ? write.bytes.subarray(0, random(write.bytes.length + 1)) : write.bytes;
      const content = fate === 2 ? new Uint8Array(write.bytes.length) : kept;
      bytes = overlaid(bytes, content, write.position);
    }
    const after = new LossyFile(bytes);
    after.named = true;
    return after;
  }

  write(bytes: Uint8Array, position: number): Promise<void> {
    this.content = overlaid(this.content, bytes, position);
    this.#waiting.push({ bytes: bytes.slice(), position });
    return Promise.resolve();
  }

  read(position: number, length: number): Promise<Uint8Array> {
    return Promise.resolve(this.content.slice(position, position + length));
  }

  size(): Promise<number> {
    return Promise.resolve(this.content.length);
  }

  truncate(length: number): Promise<void> {
    this.content = this.content.slice(0, length);
    this.#durable = this.#durable.slice(0, length);
    this.#waiting = this.#waiting.filter(({ position }) => position < length);
    return Promise.resolve();
  }

  sync(): Promise<void> {
    this.#durable = this.content;
    this.#waiting = [];
    return Promise.resolve();
  }

  close(): Promise<void> {
    return Promise.resolve();
  }
}

function overlaid(under: Uint8Array, over: Uint8Array, position: number): Uint8Array {
  const both = new Uint8Array(Math.max(under.length, position + over.length));
  both.set(under, 0);
  both.set(over, position);
  return both;
}
