import { join } from "node:path";
import type { Protocol } from "../../protocols/protocol.js";
import type { Chunk } from "../../protocols/raw-log.js";
import { wholeChunks } from "../../protocols/raw-log/whole-chunks.js";
import type { TimedReading } from "../../protocols/reading.js";
import { findProtocol } from "../../protocols/registry.js";
import { ChannelReader } from "../../protocols/timing/channel-reader.js";
import { nodeDisk, type Disk } from "./disk.js";
import type { JobFile, JobMeter } from "./job-file.js";
import { traceName } from "./read-job.js";
import { readTraceItems } from "./trace-scan.js";

/** Where the pieces of a channel come from: a folder on disk or a pack in memory. */
export type ChunkSource = (channel: string) => AsyncIterable<Chunk>;

/** The chunks of a job's traces, damaged places left out. */
export function chunksOf(folder: string, disk: Disk = nodeDisk): ChunkSource {
  return async function* (channel) {
    for await (const item of readTraceItems(disk, join(folder, traceName(channel)))) {
      if (item.kind === "block") yield* item.chunks;
    }
  };
}

/**
 * The reader a channel was read with, on the time base of the traces (zero is the job's zero).
 * null where the job names no meter for the channel. Throws `meter/unknown-protocol`.
 */
export function readerFor(
  file: JobFile,
  channel: string,
  find: (id: string) => Protocol = findProtocol,
): ChannelReader | null {
  const meter = meterOf(file, channel);
  if (meter === null) return null;
  const protocol = find(meter.protocol);
  return new ChannelReader({ channel, protocol, options: meter.options, origin_ns: 0n });
}

function meterOf(file: JobFile, channel: string): JobMeter | null {
  return file.meters.find((meter) => meter.channel === channel) ?? null;
}

/** The chunks as the program took them; version 1 took every piece for one. */
export function keptChunks(
  { version }: JobFile,
  channel: string,
  chunks: ChunkSource,
): AsyncIterable<Chunk> {
  return version === 1 ? chunks(channel) : wholeChunks(chunks(channel));
}

/** The readings of one channel, derived again from its raw bytes. */
export async function* readingsOf(
  file: JobFile,
  channel: string,
  chunks: ChunkSource,
): AsyncGenerator<TimedReading> {
  const reader = readerFor(file, channel);
  if (reader === null) return;
  for await (const chunk of keptChunks(file, channel, chunks)) yield* reader.push(chunk).readings;
}
