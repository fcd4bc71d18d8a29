import { BlockReader, type TraceItem } from "../../protocols/raw-log/block-reader.js";
import type { Disk, DiskFile } from "./disk.js";
import type { Damage } from "./journal-read.js";

/** What a trace file holds, without its chunks. */
export interface TraceSummary {
  /** Number of the next block. */
  readonly sequence: number;
  /** Raw bytes of all blocks. */
  readonly rawBytes: number;
  readonly chunks: number;
  /** Arrival of the last chunk on the job's time base, nanoseconds; null for an empty trace. */
  readonly last_ns: bigint | null;
  readonly damage: readonly Damage[];
  /** Where a tail that is not a whole block begins; equal to `length` where there is none. */
  readonly wholeLength: number;
  readonly length: number;
}

/** Reads a trace in pieces, from the beginning; memory does not grow with the file. */
export async function* readTraceItems(disk: Disk, path: string): AsyncGenerator<TraceItem> {
  const file = await disk.openToRead(path);
  try {
    yield* itemsOf(file);
  } finally {
    await file.close();
  }
}

async function* itemsOf(file: DiskFile): AsyncGenerator<TraceItem> {
  const reader = new BlockReader();
  for (let at = 0; ;) {
    const piece = await file.read(at, PIECE);
    if (piece.length === 0) break;
    yield* reader.push(piece);
    at += piece.length;
  }
  yield* reader.end();
}

const PIECE = 1 << 20;

/** `name` is the file's name inside the job, for reports of damage. */
export async function scanTrace(disk: Disk, path: string, name: string): Promise<TraceSummary> {
  const scan = new TraceScan(name);
  for await (const item of readTraceItems(disk, path)) scan.add(item);
  return scan.summary();
}

class TraceScan {
  readonly #name: string;
  readonly #damage: Damage[] = [];
  #sequence = 0;
  #rawBytes = 0;
  #chunks = 0;
  #last_ns: bigint | null = null;
  #wholeLength = 0;
  #length = 0;

  constructor(name: string) {
    this.#name = name;
  }

  add(item: TraceItem): void {
    this.#length = item.to;
    if (item.kind === "torn") return;
    this.#wholeLength = item.to;
    if (item.kind === "damaged") {
      this.#report(item.from, item.to, `${item.to - item.from} bytes are damaged`);
      return;
    }
    if (item.sequence !== this.#sequence) {
      this.#report(item.from, item.from, missing(this.#sequence, item.sequence));
    }
    this.#sequence = item.sequence + 1;
    this.#chunks += item.chunks.length;
    for (const chunk of item.chunks) this.#rawBytes += chunk.bytes.length;
    this.#last_ns = item.chunks.at(-1)?.arrival_ns ?? this.#last_ns;
  }

  summary(): TraceSummary {
    return {
      sequence: this.#sequence,
      rawBytes: this.#rawBytes,
      chunks: this.#chunks,
      last_ns: this.#last_ns,
      damage: this.#damage,
      wholeLength: this.#wholeLength,
      length: this.#length,
    };
  }

  #report(at: number, to: number, what: string): void {
    this.#damage.push({ file: this.#name, at, to, what });
  }
}

function missing(expected: number, found: number): string {
  return found > expected
    ? `blocks ${expected} to ${found - 1} are missing or damaged`
    : `block ${found} stands where block ${expected} was expected`;
}
