import { join } from "node:path";
import { chunksOf, readingsOf } from "../derive.js";
import { nodeDisk, type Disk } from "../disk.js";
import { readJobFile, traceName } from "../read-job.js";
import { ColumnTrace } from "./trace.js";
import { ColumnWriter } from "./writer.js";

/**
 * The decoded readings of a channel, from `cache/<channel>.columns` where that fits the trace and
 * this program, else decoded again and kept there. The cache can always be deleted.
 */
export async function openColumns(
  folder: string,
  channel: string,
  programVersion: string,
  disk: Disk = nodeDisk,
): Promise<ColumnTrace> {
  const trace = await disk.openToRead(join(folder, traceName(channel)));
  const length = await trace.size().finally(() => trace.close());
  const path = join(folder, "cache", `${channel}.columns`);
  const label = `${JSON.stringify({ format: "leadhand-columns", version: 2, length, programVersion })}\n`;
  const kept = await fromCache(path, label, disk);
  if (kept !== null) return kept;
  const bytes = await derive(folder, channel, disk);
  await keep(path, label, bytes, disk);
  return ColumnTrace.decode(bytes);
}

async function fromCache(path: string, label: string, disk: Disk): Promise<ColumnTrace | null> {
  const bytes = await disk.readWhole(path);
  const wanted = new TextEncoder().encode(label);
  if (bytes === null || !wanted.every((byte, at) => bytes[at] === byte)) return null;
  try {
    return ColumnTrace.decode(bytes.subarray(wanted.length));
  } catch {
    return null;
  }
}

async function derive(folder: string, channel: string, disk: Disk): Promise<Uint8Array> {
  const blocks: Uint8Array[] = [];
  const writer = new ColumnWriter((block) => blocks.push(block));
  const file = await readJobFile(folder, disk);
  for await (const reading of readingsOf(file, channel, chunksOf(folder, disk))) {
    writer.add(reading);
  }
  writer.end();
  return new Uint8Array(Buffer.concat(blocks));
}

/** A cache that cannot be written costs time, nothing else. */
async function keep(path: string, label: string, bytes: Uint8Array, disk: Disk): Promise<void> {
  try {
    await disk.makeFolder(join(path, ".."));
    await disk.replace(path, Buffer.concat([Buffer.from(label), bytes]));
  } catch {
    return;
  }
}
