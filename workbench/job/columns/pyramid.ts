import { scaled } from "../../../protocols/decimal.js";
import { OVER, type ReadBlock } from "./block.js";

/** Readings in a bucket of the lowest level, and buckets in one of the level above. */
const BUCKET = 64;
const STOREY = 32;

/** Least and greatest of a stretch of readings; null where it holds no value (gap, overload). */
export interface Range {
  readonly low: number;
  readonly high: number;
}

/** A block with its least and greatest values on two levels above the readings. */
export class PyramidBlock {
  readonly block: ReadBlock;
  /** Value of one count; NaN where values are floats. */
  readonly #count: number;
  readonly #low: Int32Array;
  readonly #high: Int32Array;
  readonly #storeyLow: Int32Array;
  readonly #storeyHigh: Int32Array;

  constructor(block: ReadBlock) {
    this.block = block;
    this.#count = block.face.exponent === null ? NaN : scaled(1, block.face.exponent);
    const buckets = Math.ceil(block.counts.length / BUCKET);
    this.#low = new Int32Array(buckets);
    this.#high = new Int32Array(buckets);
    const storeys = Math.ceil(buckets / STOREY);
    this.#storeyLow = new Int32Array(storeys);
    this.#storeyHigh = new Int32Array(storeys);
    if (block.floats === null) this.#build(block.counts);
  }

  get end_us(): number {
    return this.block.start_us + this.block.timeAt_us(this.block.counts.length - 1);
  }

  /** Of the readings from index `from` to before `to`; costs no more than two buckets of each level. */
  range(from: number, to: number): Range | null {
    if (this.block.floats !== null) return floatRange(this.block, from, to);
    let low = NOTHING_LOW;
    let high = OVER;
    let at = from;
    const take = (least: number, greatest: number): void => {
      if (least < low) low = least;
      if (greatest > high) high = greatest;
    };
    while (at < to) {
      if (at % (BUCKET * STOREY) === 0 && at + BUCKET * STOREY <= to) {
        const storey = at / (BUCKET * STOREY);
        take(this.#storeyLow[storey] ?? 0, this.#storeyHigh[storey] ?? 0);
        at += BUCKET * STOREY;
      } else if (at % BUCKET === 0 && at + BUCKET <= to) {
        take(this.#low[at / BUCKET] ?? 0, this.#high[at / BUCKET] ?? 0);
        at += BUCKET;
      } else {
        const count = this.block.counts[at++] ?? OVER;
        if (count !== OVER) take(count, count);
      }
    }
    return high === OVER ? null : { low: this.#value(low), high: this.#value(high) };
  }

  /** Index of the first reading at or after `time_us`. */
  indexAt(time_us: number): number {
    const wanted = time_us - this.block.start_us;
    const { timeAt_us, counts } = this.block;
    let [low, high] = [0, counts.length];
    while (low < high) {
      const middle = (low + high) >>> 1;
      if (timeAt_us(middle) < wanted) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  #value(count: number): number {
    const { exponent } = this.block.face;
    return exponent === null ? count * this.#count : scaled(count, exponent);
  }

  #build(counts: Int32Array): void {
    for (let bucket = 0; bucket < this.#low.length; bucket++) {
      let low = NOTHING_LOW;
      let high = OVER;
      const end = Math.min(counts.length, (bucket + 1) * BUCKET);
      for (let n = bucket * BUCKET; n < end; n++) {
        const count = counts[n] as number;
        if (count > high) high = count;
        if (count < low && count !== OVER) low = count;
      }
      this.#low[bucket] = low;
      this.#high[bucket] = high;
    }
    this.#gather(this.#low, this.#storeyLow, Math.min, NOTHING_LOW);
    this.#gather(this.#high, this.#storeyHigh, Math.max, OVER);
  }

  #gather(
    from: Int32Array,
    to: Int32Array,
    choose: (a: number, b: number) => number,
    nothing: number,
  ): void {
    for (let storey = 0; storey < to.length; storey++) {
      let chosen = nothing;
      const end = Math.min(from.length, (storey + 1) * STOREY);
      for (let n = storey * STOREY; n < end; n++) chosen = choose(chosen, from[n] ?? nothing);
      to[storey] = chosen;
    }
  }
}

const NOTHING_LOW = 0x7fff_ffff;

function floatRange({ counts, floats }: ReadBlock, from: number, to: number): Range | null {
  let range: Range | null = null;
  for (let n = from; n < to; n++) {
    const value = floats?.[n] ?? 0;
    if (counts[n] !== OVER) range = widened(range, { low: value, high: value });
  }
  return range;
}

/** The range that holds both. */
export function widened(range: Range | null, more: Range): Range {
  if (range === null) return more;
  return { low: Math.min(range.low, more.low), high: Math.max(range.high, more.high) };
}
