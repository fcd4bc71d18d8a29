import type { Chunk } from "../../protocols/raw-log.js";

/**
 * Keeps the arrival times of a job's meters in the order in which their chunks were taken, so that
 * whoever reads the traces later takes them in the same: by arrival, and of one arrival by channel.
 * Bytes of one arrival are one chunk there; what comes at the time of bytes that were answered
 * already cannot become a part of them any more, and is a nanosecond late.
 */
export class Arrivals {
  #newest_ns = 0n;
  #channel = "";
  #isAnswered = false;

  /** The chunk as it goes into the log. */
  place(channel: string, chunk: Chunk): Chunk {
    const soonest_ns = this.#newest_ns + (this.#mayJoin(channel) ? 0n : 1n);
    const arrival_ns = chunk.arrival_ns > soonest_ns ? chunk.arrival_ns : soonest_ns;
    this.#newest_ns = arrival_ns;
    this.#channel = channel;
    this.#isAnswered = false;
    return { bytes: chunk.bytes, arrival_ns };
  }

  /** Something came of the chunk that was placed last. */
  answered(): void {
    this.#isAnswered = true;
  }

  /** Whether the order is told right although both came at one time. */
  #mayJoin(channel: string): boolean {
    return channel === this.#channel ? !this.#isAnswered : channel > this.#channel;
  }
}
