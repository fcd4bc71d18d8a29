import { toLeadhandError } from "../../protocols/error.js";
import type { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";
import type { Closed } from "../link.js";
import { chunksIn } from "./recording.js";
import type { Recording } from "./recording.js";

/** Who hears a tape. */
export interface Listener {
  hear(chunk: Chunk): void;
  over(closed: Closed): void;
}

/** One recording being played: always one chunk ahead, so that time never has to wait for a disk. */
export class Tape {
  readonly recording: Recording;
  readonly #rest: AsyncGenerator<Chunk, void>;
  #next: Chunk | null = null;
  #failure: LeadhandError | null = null;
  #listener: Listener | null = null;

  constructor(recording: Recording) {
    this.recording = recording;
    this.#rest = chunksIn(recording);
  }

  /** The chunk to be played next; null before the first and after the last `advance`. */
  get next(): Chunk | null {
    return this.#next;
  }

  get isHeard(): boolean {
    return this.#listener !== null;
  }

  /** Throws where the recording broke off: nothing more will come of it. */
  listen(listener: Listener): void {
    if (this.#failure !== null) throw this.#failure;
    this.#listener = listener;
  }

  leave(listener: Listener): void {
    if (this.#listener === listener) this.#listener = null;
  }

  /** Tells the chunk that is next, `shift_ns` later than it was recorded. */
  play(shift_ns: bigint): void {
    if (this.#next === null) return;
    const { bytes, arrival_ns } = this.#next;
    this.#listener?.hear({ bytes, arrival_ns: arrival_ns + shift_ns });
  }

  /** Reads the next chunk, and tells where it cannot be read. Rejects at the first only. */
  async advance(): Promise<void> {
    const isFirst = this.#next === null;
    try {
      const result = await this.#rest.next();
      this.#next = result.done === true ? null : result.value;
    } catch (thrown) {
      if (isFirst) throw thrown;
      this.#next = null;
      this.#failure = toLeadhandError(thrown);
      this.#listener?.over({ by: "failure", error: this.#failure });
    }
  }

  /** Nothing more comes of any of those that are played together. */
  end(): void {
    this.#listener?.over({ by: "end-of-recording" });
  }
}
