import type { ChannelReader } from "../../protocols/timing/channel-reader.js";
import type { Chunk } from "../../protocols/raw-log.js";
import type { TimedReading } from "../../protocols/reading.js";
import { keptChunks, readerFor, type ChunkSource } from "./derive.js";
import type { JobFile } from "./job-file.js";

type Places = Readonly<Record<string, number>>;

/** A reading, and the raw bytes of its channel that it and its chunk follow from. */
export interface FedReading {
  readonly channel: string;
  readonly reading: TimedReading;
  /** Up to the last byte that the reading comes of. */
  readonly end: number;
  /** Up to the end of the chunk that brought that byte, which a job of version 1 goes by. */
  readonly chunkEnd: number;
  readonly arrival_ns: bigint;
}

/** The readings of all channels in order of arrival, given out up to a place in each trace. */
export class ReplayFeed {
  readonly #channels: readonly ChannelFeed[];

  constructor(file: JobFile, channels: readonly string[], chunks: ChunkSource) {
    const sorted = [...channels].sort();
    this.#channels = sorted.map((channel) => new ChannelFeed(file, channel, chunks));
  }

  /** Readings that end at or before `at` (raw bytes a channel); null: all that are left. */
  async *upTo(at: Places | null): AsyncGenerator<FedReading> {
    const limitOf = (channel: string) => (at === null ? Infinity : (at[channel] ?? 0));
    for (;;) {
      let first: ChannelFeed | null = null;
      for (const each of this.#channels) {
        const next = await each.next(limitOf(each.channel));
        if (next === null) continue;
        if (first?.head == null || next.arrival_ns < first.head.arrival_ns) first = each;
      }
      if (first === null) return;
      yield first.take();
    }
  }

  /** The program was started again here: nothing of its readers had survived. */
  restart(): void {
    for (const channel of this.#channels) channel.restart();
  }
}

/** One trace, decoded no further than somebody asks for. */
class ChannelFeed {
  readonly channel: string;
  readonly #file: JobFile;
  readonly #chunks: AsyncIterator<Chunk>;
  #reader: ChannelReader | null;
  #waiting: FedReading[] = [];
  /** Raw bytes decoded, and as many as there were when the reader was new. */
  #decoded = 0;
  #readerFrom = 0;
  #isOver = false;

  constructor(file: JobFile, channel: string, chunks: ChunkSource) {
    this.#file = file;
    this.channel = channel;
    this.#chunks = keptChunks(file, channel, chunks)[Symbol.asyncIterator]();
    this.#reader = readerFor(file, channel);
  }

  get head(): FedReading | null {
    return this.#waiting[0] ?? null;
  }

  /** The next reading, where it ends at or before `limit`; bytes behind it may stay undecoded. */
  async next(limit: number): Promise<FedReading | null> {
    while (this.head === null && this.#decoded < limit && !this.#isOver) await this.#decode();
    const { head } = this;
    return head !== null && head.end <= limit ? head : null;
  }

  take(): FedReading {
    const taken = this.#waiting.shift();
    if (taken === undefined) throw new Error("a reading was taken that nobody asked for");
    return taken;
  }

  restart(): void {
    this.#reader = readerFor(this.#file, this.channel);
    this.#readerFrom = this.#decoded;
  }

  async #decode(): Promise<void> {
    const result = await this.#chunks.next();
    if (result.done === true) {
      this.#isOver = true;
      return;
    }
    const { bytes, arrival_ns } = result.value;
    this.#decoded += bytes.length;
    const step = this.#reader?.push(result.value);
    for (const [n, reading] of (step?.readings ?? []).entries()) {
      const end = this.#readerFrom + (step?.ends[n] ?? 0);
      const { channel } = this;
      this.#waiting.push({ channel, reading, end, chunkEnd: this.#decoded, arrival_ns });
    }
  }
}
