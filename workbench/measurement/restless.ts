/** Counts that a move is taken for whose size nobody saw. */
const FIRST_SCALE = 30;
/** Probability that restless readings look still by chance, below which stillness is believed. */
const CHANCE = 1e-5;

/**
 * How much the readings have moved about of late: after a restless stretch a few equal readings
 * may be chance. Moves that go on the way of the one before do not count: creep is no restlessness,
 * rubbing and ghost volts are.
 */
export class Restlessness {
  readonly #memory_s: number;
  /** Moves remembered, fading; a stream that begins with a value may be anything, so some at first. */
  #level = 3;
  /** Sum of the logarithms of their sizes in counts, fading alike. */
  #logScale = 3 * Math.log(FIRST_SCALE);
  #at_s = Number.NaN;
  #mean = Number.NaN;
  #move = 0;
  #count = Number.NaN;

  /** Remembers for about two windows. */
  constructor(window_s: number) {
    this.#memory_s = 2 * window_s;
  }

  forget(): void {
    this.#level = this.#logScale = 0;
  }

  /** A new level of the reading. `least`: the smallest move that counts, in counts; null: contact is new. */
  feel(now_s: number, mean: number, count: number, least: number | null): void {
    if (Number.isNaN(this.#at_s)) this.#at_s = now_s;
    const decay = Math.exp((this.#at_s - now_s) / this.#memory_s);
    this.#level *= decay;
    this.#logScale *= decay;
    this.#at_s = now_s;
    this.#countIn(count);
    const move = (mean - this.#mean) / count;
    const onward = least !== null && move * this.#move > 0;
    this.#mean = mean;
    this.#move = move;
    if (onward || !(least === null || Math.abs(move) > least)) return;
    const size = least ?? FIRST_SCALE;
    this.#level += 1;
    this.#logScale += Math.log(Math.max(Math.abs(move) || size, size));
  }

  /** The meter changed its range: what it moved by before is as many of the new counts as it is. */
  #countIn(count: number): void {
    if (this.#count > 0) this.#logScale += this.#level * Math.log(this.#count / count);
    this.#count = count;
  }

  /**
   * Whether a quiet run of so many slots within `range` counts is more than chance: the more the
   * readings moved, the fewer in a row convince.
   */
  convinces(range: number, quietRun: () => number): boolean {
    if (this.#level <= 1) return true;
    const scale = Math.exp(this.#logScale / this.#level);
    const chance = Math.min(1, (Math.max(1, range) + 1) / scale);
    const run = quietRun();
    return run * chance ** (run - 1) < CHANCE;
  }
}
