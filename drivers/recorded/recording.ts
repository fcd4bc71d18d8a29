import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { join } from "node:path";
import { LeadhandError } from "../../protocols/error.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { BlockReader } from "../../protocols/raw-log/block-reader.js";
import type { TraceItem } from "../../protocols/raw-log/block-reader.js";
import { wholeChunks } from "../../protocols/raw-log/whole-chunks.js";
import { badOption } from "../address.js";
import type { MeterAddress } from "../address.js";

/** What a `recorded:` address names. */
export interface Recording {
  /** A trace file, or a job folder. */
  readonly path: string;
  /** null: whatever the file holds; of a job folder, "a". */
  readonly channel: string | null;
  /** How many times as fast as it was recorded; infinite: as fast as it is read. */
  readonly pace: number;
}

export function recordingOf(address: MeterAddress): Recording {
  const channel = address.options.get("channel") ?? null;
  return { path: address.target, channel, pace: paceOf(address) };
}

function paceOf(address: MeterAddress): number {
  const text = address.options.get("pace") ?? "as-recorded";
  if (text === "as-recorded") return 1;
  if (text === "at-once") return Infinity;
  const times = Number(text);
  if (times > 0) return times;
  throw badOption("pace", text, "Give as-recorded, at-once, or how many times as fast: 10.");
}

/** Its chunks in order. Rejects with `input/recording`, or `input/recording-empty` at its end. */
export async function* chunksIn(recording: Recording): AsyncGenerator<Chunk, void> {
  let isEmpty = true;
  for await (const chunk of wholeChunks(piecesIn(recording))) {
    isEmpty = false;
    yield chunk;
  }
  if (isEmpty) throw empty(recording);
}

async function* piecesIn({ path, channel }: Recording): AsyncGenerator<Chunk, void> {
  const file = (await isFolder(path)) ? join(path, "traces", `${channel ?? "a"}.trace`) : path;
  for await (const item of itemsIn(file)) {
    if (item.kind === "block" && item.channel === (channel ?? item.channel)) yield* item.chunks;
  }
}

async function* itemsIn(file: string): AsyncGenerator<TraceItem, void> {
  const reader = new BlockReader();
  try {
    for await (const piece of createReadStream(file) as AsyncIterable<Uint8Array>) {
      yield* reader.push(piece);
    }
  } catch (thrown) {
    throw unreadable(file, thrown);
  }
  yield* reader.end();
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
