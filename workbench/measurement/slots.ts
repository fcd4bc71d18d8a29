/** How many slots are kept: sixteen for each of six windows, where a meter fills one a reading. */
const CAPACITY = 98;

/** A short stretch of readings, taken together. */
export interface Slot {
  start_s: number;
  end_s: number;
  /** Sums are about the slot's first reading: nothing large is subtracted from anything large. */
  origin: number;
  n: number;
  sum: number;
  squares: number;
  /** Sum of squared changes from reading to reading, and the latest reading. */
  moves: number;
  latest: number;
}

/** A window of readings at rest, in the unit of the readings. */
export interface Rest {
  readonly mean: number;
  /** Standard deviation of the single readings. */
  readonly spread: number;
  readonly samples: number;
  readonly since_s: number;
}

/**
 * The latest slots, and their means in counts. Adding a reading and the mean of any block of slots
 * cost the same however many there are.
 */
export class Slots {
  size = 0;
  /** Means of the slots in counts are told from here, in the unit of the readings. */
  reference = 0;

  readonly #slots: Slot[] = Array.from({ length: CAPACITY }, emptySlot);
  /**
   * Means of the closed slots, and their starts. Each is written twice, a capacity apart, so that
   * the newest and all before it lie in one stretch.
   */
  readonly #means = new Float64Array(2 * CAPACITY);
  readonly #starts = new Float64Array(2 * CAPACITY);
  /** Running sums of the means. */
  readonly #sums = new Float64Array(2 * CAPACITY);
  #newest = -1;
  /** Where the newest stands in them. */
  #top = 0;

  clear(): void {
    this.size = 0;
    this.#newest = -1;
  }

  /** Counted back from the newest. */
  slot(back: number): Slot {
    return this.#slots[(this.#newest - back + CAPACITY) % CAPACITY] as Slot;
  }

  /** Begins a slot with its first reading, which is still to be added. */
  begin(time_s: number, value: number): Slot {
    if (this.size === 0) this.reference = value;
    this.#newest = (this.#newest + 1) % CAPACITY;
    this.size = Math.min(CAPACITY, this.size + 1);
    const slot = this.slot(0);
    slot.start_s = slot.end_s = time_s;
    slot.origin = value;
    slot.n = slot.sum = slot.squares = slot.moves = slot.latest = 0;
    return slot;
  }

  /** Takes the newest slot into the means; returns how far it lies from the one before, in counts. */
  close(count: number): number {
    const slot = this.slot(0);
    this.#top = this.#newest + CAPACITY;
    const mean = (slot.origin - this.reference + slot.sum / slot.n) / count;
    const isFirst = this.size === 1;
    const sum = mean + (isFirst ? 0 : (this.#sums[this.#top - 1] as number));
    for (const at of [this.#newest, this.#top]) {
      this.#means[at] = mean;
      this.#starts[at] = slot.start_s;
      this.#sums[at] = sum;
    }
    return isFirst ? Number.POSITIVE_INFINITY : mean - this.mean(1);
  }

  /** Mean of a closed slot in counts. */
  mean(back: number): number {
    return this.#means[this.#top - back] as number;
  }

  start_s(back: number): number {
    return this.#starts[this.#top - back] as number;
  }

  /** Mean of `n` slots in counts, from so many back. */
  blockMean(back: number, n: number): number {
    const until = this.#sums[this.#top - back] as number;
    const before = back + n < this.size ? (this.#sums[this.#top - back - n] as number) : 0;
    return (until - before) / n;
  }

  /** All readings of the newest slots together; `origin` lies near them. */
  summary(slots: number, origin: number): Rest {
    let samples = 0;
    let sum = 0;
    let squares = 0;
    for (let back = 0; back < slots; back++) {
      const { n, sum: s, squares: q, origin: own } = this.slot(back);
      const shift = own - origin;
      samples += n;
      sum += s + n * shift;
      squares += q + 2 * shift * s + n * shift * shift;
    }
    const variance = Math.max(0, squares - (sum * sum) / samples) / Math.max(1, samples - 1);
    const { start_s } = this.slot(slots - 1);
    return { mean: origin + sum / samples, spread: Math.sqrt(variance), samples, since_s: start_s };
  }
}

/** Adds a reading to the slot it falls into. */
export function addReading(slot: Slot, time_s: number, value: number): void {
  const x = value - slot.origin;
  const move = x - slot.latest;
  slot.n += 1;
  slot.sum += x;
  slot.squares += x * x;
  slot.moves += move * move;
  slot.latest = x;
  slot.end_s = time_s;
}

function emptySlot(): Slot {
  return { start_s: 0, end_s: 0, origin: 0, n: 0, sum: 0, squares: 0, moves: 0, latest: 0 };
}
