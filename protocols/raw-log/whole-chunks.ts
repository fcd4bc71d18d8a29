import type { Chunk } from "../raw-log.js";

/**
 * Puts pieces of one arrival time together: what came at one time is one chunk, into however many
 * pieces it was cut where it was kept. The mark of an opening stays alone and parts what is around
 * it. Memory does not grow beyond one chunk.
 */
export async function* wholeChunks(pieces: AsyncIterable<Chunk>): AsyncGenerator<Chunk, void> {
  let held: Chunk | null = null;
  let more: Uint8Array[] = [];
  for await (const piece of pieces) {
    if (held !== null && belongs(piece, held)) {
      more.push(piece.bytes);
      continue;
    }
    if (held !== null) yield joined(held, more);
    [held, more] = [piece, []];
  }
  if (held !== null) yield joined(held, more);
}

function belongs(piece: Chunk, first: Chunk): boolean {
  const isMark = piece.bytes.length === 0 || first.bytes.length === 0;
  return !isMark && piece.arrival_ns === first.arrival_ns;
}

function joined(first: Chunk, more: readonly Uint8Array[]): Chunk {
  if (more.length === 0) return first;
  const bytes = new Uint8Array(more.reduce((sum, { length }) => sum + length, first.bytes.length));
  bytes.set(first.bytes);
  let at = first.bytes.length;
  for (const each of more) {
    bytes.set(each, at);
    at += each.length;
  }
  return { bytes, arrival_ns: first.arrival_ns };
}
