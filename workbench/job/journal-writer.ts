import type { AppendFile } from "./append-file.js";
import type { JournalEvent } from "./journal-event.js";
import { encodeLine } from "./journal-read.js";

/** Appends lines to a journal; the chain goes on only from lines that are on disk. */
export class JournalWriter {
  readonly #file: AppendFile;
  #number: number;
  #before: string;

  constructor(file: AppendFile, lastNumber: number, lastHash: string) {
    this.#file = file;
    this.#number = lastNumber;
    this.#before = lastHash;
  }

  /** Resolves when the line is on the medium; rejects with a `LeadhandError`. */
  async append(event: JournalEvent, at: Readonly<Record<string, number>>): Promise<void> {
    const line = { n: this.#number + 1, before: this.#before, at, event };
    const { bytes, hash } = encodeLine(line);
    await this.#file.append(bytes);
    this.#number = line.n;
    this.#before = hash;
    await this.#file.sync();
  }

  close(): Promise<void> {
    return this.#file.close();
  }
}
