import type { Chunk } from "../../protocols/raw-log.js";
import { encodeBlock } from "../../protocols/raw-log/encode-block.js";
import type { AppendFile } from "./append-file.js";

/** Gathers the chunks of one channel into blocks and writes them, each once and in order. */
export class TraceWriter {
  readonly channel: string;
  readonly #file: AppendFile;
  #sequence: number;
  #gathering: Chunk[] = [];
  #gatheredBytes = 0;
  /** Blocks made and not yet on disk. */
  #waiting: Uint8Array[] = [];
  #waitingBytes = 0;

  /** `sequence`: number of the next block. */
  constructor(channel: string, file: AppendFile, sequence: number) {
    this.channel = channel;
    this.#file = file;
    this.#sequence = sequence;
  }

  /** Bytes in memory only. */
  get heldBytes(): number {
    return this.#gatheredBytes + this.#waitingBytes;
  }

  add(chunk: Chunk): void {
    const last = this.#gathering.at(-1);
    // A block holds arrivals in order; a clock that stepped back starts a new one.
    if (last !== undefined && chunk.arrival_ns < last.arrival_ns) this.seal();
    this.#gathering.push({ bytes: chunk.bytes.slice(), arrival_ns: chunk.arrival_ns });
    this.#gatheredBytes += chunk.bytes.length;
    if (this.#gatheredBytes > LARGEST_BLOCK) this.seal();
  }

  /** Makes a block of what was gathered, so that the next write takes it. */
  seal(): void {
    if (this.#gathering.length === 0) return;
    const block = encodeBlock({
      channel: this.channel,
      sequence: this.#sequence++,
      chunks: this.#gathering,
    });
    this.#gathering = [];
    this.#gatheredBytes = 0;
    this.#waiting.push(block);
    this.#waitingBytes += block.length;
  }

  /** Writes the sealed blocks. Rejects with a `LeadhandError`; they stay and are tried again. */
  async write(): Promise<void> {
    for (let block = this.#waiting[0]; block !== undefined; block = this.#waiting[0]) {
      await this.#file.append(block);
      this.#waiting.shift();
      this.#waitingBytes -= block.length;
    }
  }

  sync(): Promise<void> {
    return this.#file.sync();
  }

  close(): Promise<void> {
    return this.#file.close();
  }
}

const LARGEST_BLOCK = 1 << 20;
