import type { Slots } from "./slots.js";

/** Of fewer slots than this since contact nothing can be told about creep. */
const FEWEST_FOR_CREEP = 4;
/** Standard deviation of rounding to one count, 1/√12. */
const ROUNDING = 0.29;
/** In standard deviations: what movement is more than noise. */
const SIGNIFICANT = 2.5;
/** Creep of less than this share of the allowed counts a window counts as still. */
const SLOWEST = 0.17;
/**
 * Share of the allowed counts that a reading which creeps towards its end may still be away from it;
 * the rounding of a slow meter, with one reading a slot, hides a quarter.
 */
const LEFT = { fast: 1 / 4, slow: 1 / 3 };

/** Tells whether a reading that stays within its counts still creeps, as ohms do across a capacitor. */
export class Creep {
  /** The stretch that was looked at shows the end of a movement. */
  moved = false;

  /** Slots since the last jump or turn, since the last large move, and which way that went. */
  #sinceTurn = 0;
  #sinceMove = 0;
  #way = 0;

  constructor(
    private readonly slots: Slots,
    private readonly counts: number,
    private readonly window_s: number,
  ) {}

  /**
   * Keeps how many slots lie after the last jump, or after where the reading turned: what came
   * before tells nothing of creep, which goes one way. `move`: of the newest slot, in counts.
   */
  follow(move: number): void {
    const size = Math.abs(move);
    this.#sinceTurn += 1;
    this.#sinceMove += 1;
    if (size <= this.counts) return;
    const way = Math.sign(move);
    const jump = size > 8 * this.counts;
    if (jump) this.#sinceTurn = 1;
    else if (this.#way !== 0 && way !== this.#way) {
      this.#sinceTurn = Math.min(this.#sinceTurn, this.#sinceMove);
    }
    this.#way = jump ? 0 : way;
    this.#sinceMove = 1;
  }

  /** Looked for over one, two, four and six windows, as far as the slots reach back. */
  isSeen(inWindow: number, reach: number, noise: number, slow: boolean): boolean {
    this.moved = false;
    const far = Math.max(inWindow, Math.min(this.#sinceTurn, reach));
    if (far < FEWEST_FOR_CREEP) return quietRun(this.slots, far, 1) < far;
    const most = this.counts * (slow ? LEFT.slow : LEFT.fast);
    for (let n = inWindow; n < far; n *= 2) {
      if (this.#remaining(n, noise) > most) return true;
    }
    return this.#remaining(far, noise) > most;
  }

  /**
   * How many counts the reading may still creep, from the means of the first, middle and last
   * third: of an exponential approach the steps d1, d2 between them shrink by one ratio, so that
   * d2²/(d1 − d2) is left (Aitken); d2 is taken at the upper end of its doubt. 0 where the whole
   * movement cannot be told from noise.
   */
  #remaining(n: number, noise: number): number {
    const { slots } = this;
    const block = Math.max(1, Math.floor(n / 3));
    if (n < 3) return 0;
    const late = slots.blockMean(0, block);
    const early = slots.blockMean(n - block, block);
    const middle = slots.blockMean(block, n - 2 * block);
    const doubt = noise * Math.sqrt(2 / block);
    const lasted = (slots.slot(0).end_s - slots.slot(n - 1).start_s) / this.window_s;
    const slowest = (SLOWEST * this.counts * lasted) / 1.5;
    const way = Math.abs(late - early);
    if (way > SIGNIFICANT * doubt) this.moved = true;
    if (way <= Math.max(SIGNIFICANT * doubt, slowest)) return 0;
    const sign = Math.sign(late - early);
    const d1 = sign * (middle - early);
    const d2 = Math.max(0, sign * (late - middle)) + doubt;
    return d1 <= d2 ? Number.POSITIVE_INFINITY : (d2 * d2) / (d1 - d2);
  }
}

/** How many of the newest slots, `most` at most, stay within so many counts of each other. */
export function quietRun(slots: Slots, most: number, counts: number): number {
  let low = slots.mean(0);
  let high = low;
  for (let back = 1; back < most; back++) {
    low = Math.min(low, slots.mean(back));
    high = Math.max(high, slots.mean(back));
    if (high - low > counts) return back;
  }
  return most;
}

/**
 * Standard deviation of a slot mean in counts, from the changes of the newest ones less their mean,
 * so that a trend hardly enters. A few changes tell little: four of mere rounding are added.
 */
export function scatterOf(slots: Slots, newest: number): number {
  const n = newest - 1;
  if (n < 1) return ROUNDING;
  const mean = (slots.mean(0) - slots.mean(n)) / n;
  let sum = 0;
  for (let back = 1; back <= n; back++) {
    const move = slots.mean(back - 1) - slots.mean(back) - mean;
    sum += move * move;
  }
  return Math.sqrt((4 * ROUNDING * ROUNDING + sum / 2) / (4 + n - 1));
}
