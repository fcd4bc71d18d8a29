import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { join } from "node:path";
import { LeadhandError } from "../protocols/error.js";
import type { Chunk } from "../protocols/raw-log.js";
import { BlockReader } from "../protocols/raw-log/block-reader.js";
import { choiceOf } from "./address.js";
import { BaseLink } from "./base-link.js";
import type { Clock } from "./clock.js";
import type { LinkMaker } from "./link-kind.js";

const PACES = ["as-recorded", "at-once"] as const;

interface Recording {
  /** A trace file, or a job folder. */
  readonly path: string;
  /** null: whatever the file holds; of a job folder, "a". */
  readonly channel: string | null;
  readonly pace: (typeof PACES)[number];
}

export const recordedLinks: LinkMaker = (address, { clock }) => {
  const recording = {
    path: address.target,
    channel: address.options.get("channel") ?? null,
    pace: choiceOf(address, "pace", PACES) ?? "as-recorded",
  };
  return () => new RecordedLink(recording, clock);
};

/** Plays a raw log. Arrival times keep their distances to the nanosecond, at any pace. */
class RecordedLink extends BaseLink {
  readonly #recording: Recording;
  #stopped = false;
  #wake: () => void = () => undefined;

  constructor(recording: Recording, clock: Clock) {
    super(clock);
    this.#recording = recording;
  }

  protected async connect(): Promise<void> {
    const chunks = chunksOf(this.#recording);
    const first = await chunks.next();
    if (first.done === true) throw empty(this.#recording);
    // Later than `open` resolves: the caller hears of the opening first.
    this.clock.after(0, () => void this.#play(first.value, chunks));
  }

  /** A recording hears nothing; what an asking protocol sends goes nowhere. */
  protected send(): Promise<void> {
    return Promise.resolve();
  }

  protected release(): Promise<void> {
    this.#stopped = true;
    this.#wake();
    return Promise.resolve();
  }

  async #play(first: Chunk, rest: AsyncGenerator<Chunk, void>): Promise<void> {
    const shift_ns = this.clock.now_ns() - first.arrival_ns;
    try {
      await this.#deliverAt(first, shift_ns);
      for await (const chunk of rest) {
        if (this.#stopped) return;
        await this.#deliverAt(chunk, shift_ns);
      }
      this.ended({ by: "end-of-recording" });
    } catch (thrown) {
      this.ended({ by: "failure", error: unreadable(this.#recording.path, thrown) });
    }
  }

  async #deliverAt(chunk: Chunk, shift_ns: bigint): Promise<void> {
    const at_ns = chunk.arrival_ns + shift_ns;
    const wait_ms = Number(at_ns - this.clock.now_ns()) / 1e6;
    if (this.#recording.pace === "as-recorded" && wait_ms > 0) await this.#wait(wait_ms);
    if (!this.#stopped) this.deliver(chunk.bytes, at_ns);
  }

  #wait(wait_ms: number): Promise<void> {
    return new Promise((resolve) => {
      const cancel = this.clock.after(wait_ms, resolve);
      this.#wake = () => {
        cancel();
        resolve();
      };
    });
  }
}

async function* chunksOf({ path, channel }: Recording): AsyncGenerator<Chunk, void> {
  const reader = new BlockReader();
  const folder = await isFolder(path);
  const file = folder ? join(path, "traces", `${channel ?? "a"}.trace`) : path;
  const stream = createReadStream(file) as AsyncIterable<Uint8Array>;
  try {
    for await (const piece of stream) {
      for (const item of reader.push(piece)) {
        if (item.kind === "block" && item.channel === (channel ?? item.channel)) yield* item.chunks;
      }
    }
  } catch (thrown) {
    throw unreadable(file, thrown);
  }
  for (const item of reader.end()) {
    if (item.kind === "block" && item.channel === (channel ?? item.channel)) yield* item.chunks;
  }
}

async function isFolder(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch (thrown) {
    throw unreadable(path, thrown);
  }
}

function unreadable(path: string, cause: unknown): LeadhandError {
  const why = cause instanceof Error ? cause.message : String(cause);
  return new LeadhandError("input/recording", {
    what: `The recording ${path} cannot be read: ${why}.`,
    action: "Give a job folder, or one of the files in its traces folder.",
    cause,
  });
}

function empty({ path, channel }: Recording): LeadhandError {
  return new LeadhandError("input/recording-empty", {
    what: `${path} holds no readings${channel === null ? "" : ` of channel ${channel}`}.`,
    action: "Give a job folder, or one of the files in its traces folder.",
  });
}
