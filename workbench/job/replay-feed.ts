import type { ChannelReader } from "../../protocols/timing/channel-reader.js";
import type { Chunk } from "../../protocols/raw-log.js";
import type { TimedReading } from "../../protocols/reading.js";
import { readerFor, type ChunkSource } from "./derive.js";
import type { JobFile } from "./job-file.js";

/** The chunks of all channels in order of arrival, given out up to a place in each trace. */
export class ReplayFeed {
  readonly #file: JobFile;
  readonly #cursors: Cursor[];

  private constructor(file: JobFile, cursors: Cursor[]) {
    this.#file = file;
    this.#cursors = cursors;
  }

  static async open(
    file: JobFile,
    channels: readonly string[],
    chunks: ChunkSource,
  ): Promise<ReplayFeed> {
    const cursors = [];
    for (const channel of [...channels].sort()) {
      const iterator = chunks(channel)[Symbol.asyncIterator]();
      const cursor = { channel, iterator, next: null, fed: 0, reader: readerFor(file, channel) };
      cursors.push(await step(cursor));
    }
    return new ReplayFeed(file, cursors);
  }

  /** Readings, chunk by chunk, up to `at` (raw bytes a channel); null: all that is left. */
  async *upTo(at: Readonly<Record<string, number>> | null): AsyncGenerator<FedChunk> {
    for (let due = this.#due(at); due !== null; due = this.#due(at)) {
      const { chunk, cursor } = due;
      cursor.fed += chunk.bytes.length;
      await step(cursor);
      const { channel, fed, reader } = cursor;
      yield { channel, fed, readings: reader?.push(chunk).readings ?? [] };
    }
  }

  /** The program was started again here: nothing of its readers had survived. */
  restart(): void {
    for (const cursor of this.#cursors) cursor.reader = readerFor(this.#file, cursor.channel);
  }

  #due(at: Readonly<Record<string, number>> | null): { chunk: Chunk; cursor: Cursor } | null {
    let first: { chunk: Chunk; cursor: Cursor } | null = null;
    for (const cursor of this.#cursors) {
      const chunk = cursor.next;
      if (chunk === null) continue;
      const limit = at === null ? Infinity : (at[cursor.channel] ?? -1);
      if (cursor.fed + chunk.bytes.length > limit) continue;
      if (first === null || chunk.arrival_ns < first.chunk.arrival_ns) first = { chunk, cursor };
    }
    return first;
  }
}

/** The readings of one chunk. */
export interface FedChunk {
  readonly channel: string;
  /** Raw bytes of the channel given out, this chunk's among them. */
  readonly fed: number;
  readonly readings: readonly TimedReading[];
}

interface Cursor {
  readonly channel: string;
  readonly iterator: AsyncIterator<Chunk>;
  next: Chunk | null;
  /** Raw bytes given out. */
  fed: number;
  reader: ChannelReader | null;
}

async function step(cursor: Cursor): Promise<Cursor> {
  const result = await cursor.iterator.next();
  cursor.next = result.done === true ? null : result.value;
  return cursor;
}
