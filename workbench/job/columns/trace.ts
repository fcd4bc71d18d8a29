import type { Reading } from "../../../protocols/reading.js";
import { decodeBlock } from "./codec.js";
import { PyramidBlock, widened, type Range } from "./pyramid.js";

/** What a plot of so many pixels needs: one least and one greatest value a column, null a gap. */
export interface TraceWindow {
  readonly quantity: Reading["quantity"];
  readonly unit: Reading["unit"];
  readonly time_s: readonly number[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

/** A whole trace of readings in memory, about eight bytes a reading. */
export class ColumnTrace {
  readonly #blocks: readonly PyramidBlock[];

  private constructor(blocks: readonly PyramidBlock[]) {
    this.#blocks = blocks;
  }

  /** Throws a RangeError where the bytes are not whole blocks. */
  static decode(bytes: Uint8Array): ColumnTrace {
    const blocks: PyramidBlock[] = [];
    for (let at = 0; at < bytes.length;) {
      const { block, end } = decodeBlock(bytes, at);
      blocks.push(new PyramidBlock(block));
      at = end;
    }
    return new ColumnTrace(blocks);
  }

  get readings(): number {
    return this.#blocks.reduce((sum, { block }) => sum + block.counts.length, 0);
  }

  get start_s(): number {
    return (this.#blocks[0]?.block.start_us ?? 0) / 1e6;
  }

  get end_s(): number {
    return (this.#blocks.at(-1)?.end_us ?? 0) / 1e6;
  }

  /** Quantities in the trace, the most frequent first. */
  get quantities(): Reading["quantity"][] {
    const counts = new Map<Reading["quantity"], number>();
    for (const { block } of this.#blocks) {
      const { quantity } = block.face;
      counts.set(quantity, (counts.get(quantity) ?? 0) + block.counts.length);
    }
    return [...counts].sort(([, a], [, b]) => b - a).map(([quantity]) => quantity);
  }

  /** Costs what its pixels cost, however long the trace is. */
  window(quantity: Reading["quantity"], from_s: number, to_s: number, pixels: number): TraceWindow {
    const own = this.#blocks.filter(({ block }) => block.face.quantity === quantity);
    const width_us = ((to_s - from_s) * 1e6) / pixels;
    const time_s: number[] = [];
    const ranges: (Range | null)[] = [];
    let first = 0;
    for (let pixel = 0; pixel < pixels; pixel++) {
      const from_us = from_s * 1e6 + pixel * width_us;
      while ((own[first]?.end_us ?? Infinity) < from_us) first += 1;
      time_s.push((from_us + width_us / 2) / 1e6);
      ranges.push(rangeOf(own, first, from_us, from_us + width_us));
    }
    return {
      quantity,
      unit: own[0]?.block.face.unit ?? "",
      time_s,
      low: ranges.map((range) => range?.low ?? null),
      high: ranges.map((range) => range?.high ?? null),
    };
  }
}

function rangeOf(
  blocks: readonly PyramidBlock[],
  first: number,
  from_us: number,
  to_us: number,
): Range | null {
  let found: Range | null = null;
  for (let n = first; n < blocks.length; n++) {
    const block = blocks[n];
    if (block === undefined || block.block.start_us >= to_us) break;
    const range = block.range(block.indexAt(from_us), block.indexAt(to_us));
    if (range !== null) found = widened(found, range);
  }
  return found;
}
