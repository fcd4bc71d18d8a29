import { crc32c } from "../crc32c.js";
import { LeadhandError } from "../error.js";
import type { Chunk } from "../raw-log.js";
import { HEADER_LENGTH, MARKER, MAX_BODY_LENGTH } from "./format.js";
import { MAX_WIDTH } from "./reader.js";
import { ByteWriter } from "./writer.js";

/** What goes into one block: some chunks of one channel, in order of arrival. */
export interface BlockContent {
  /** Printable ASCII. */
  readonly channel: string;
  /** Number of the block in its trace, from 0: shows a missing block. */
  readonly sequence: number;
  readonly chunks: readonly Chunk[];
}

/**
 * One block of a trace (see format.ts). Throws `job/trace-block` where the content has no place
 * in the format: no chunk, an arrival before its predecessor, more than 16 MiB, 19 hours between
 * two chunks, a channel name that is not ASCII.
 */
export function encodeBlock(content: BlockContent): Uint8Array {
  const body = encodeBody(content);
  if (body.length > MAX_BODY_LENGTH) throw refused("is larger than 16 MiB");
  const block = new Uint8Array(HEADER_LENGTH + body.length);
  const view = new DataView(block.buffer);
  block.set(MARKER, 0);
  view.setUint32(4, body.length, true);
  block.set(body, HEADER_LENGTH);
  view.setUint32(8, blockChecksum(block), true);
  return block;
}

/** CRC-32C over the length field and the body of a whole block. */
export function blockChecksum(block: Uint8Array): number {
  const covered = new Uint8Array(block.length - 8);
  covered.set(block.subarray(4, 8), 0);
  covered.set(block.subarray(HEADER_LENGTH), 4);
  return crc32c(covered);
}

function encodeBody({ channel, sequence, chunks }: BlockContent): Uint8Array {
  const first = chunks[0];
  if (first === undefined) throw refused("has no chunk");
  const writer = new ByteWriter();
  writer.varint(channel.length);
  writer.raw(asciiBytes(channel));
  writer.varint(sequence);
  writer.varint(chunks.length);
  writer.uint64(first.arrival_ns);
  writer.column(arrivalSteps(chunks));
  writer.column(chunks.map((chunk) => chunk.bytes.length));
  for (const chunk of chunks) writer.raw(chunk.bytes);
  return writer.done();
}

function arrivalSteps(chunks: readonly Chunk[]): number[] {
  return chunks.slice(1).map((chunk, index) => {
    const step = Number(chunk.arrival_ns - (chunks[index]?.arrival_ns ?? 0n));
    if (step < 0) throw refused("has a chunk that arrived before the one in front of it");
    if (step >= 2 ** MAX_WIDTH) throw refused("has a gap of more than 19 hours inside");
    return step;
  });
}

function asciiBytes(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => {
    const code = letter.charCodeAt(0);
    if (code < 0x20 || code > 0x7e) throw refused("has a channel name that is not plain ASCII");
    return code;
  });
}

function refused(why: string): LeadhandError {
  return new LeadhandError("job/trace-block", {
    what: `A block of the trace ${why}.`,
    action: "Nothing was written; this is a defect of the program, please report it.",
  });
}
