/**
 * Tells a reading that has come to rest from one that still moves, in counts of the meter. The
 * stream is cut into slots of an eighth of the window, so that it costs the same at 2 and at
 * 1,000 readings a second; a slow meter has one reading a slot. The rules and their error rates
 * are in docs/study-settle.md.
 */
const SLOTS_PER_WINDOW = 8;
/** Creep is looked for this many windows back. */
const LOOK_BACK_WINDOWS = 4;
const CAPACITY = SLOTS_PER_WINDOW * LOOK_BACK_WINDOWS + 2;
/** No window is judged on fewer slots than this, however slow the meter. */
const FEWEST = 3;

export interface SteadyOptions {
  /** How long the reading must stay still, seconds. */
  readonly window_s: number;
  /** How many counts it may move meanwhile, peak to peak; a third of it as trend. */
  readonly counts: number;
}

/** A window of readings at rest, in the unit of the readings. */
export interface Rest {
  readonly mean: number;
  /** Standard deviation of the single readings. */
  readonly spread: number;
  readonly samples: number;
  readonly since_s: number;
}

interface Slot {
  start_s: number;
  end_s: number;
  /** Sums are about the slot's first reading: nothing large is subtracted from anything large. */
  origin: number;
  n: number;
  sum: number;
  squares: number;
}

export class SteadyTracker {
  /** Peak to peak of the slot means over the window, in the unit of the readings. */
  low = Number.NaN;
  high = Number.NaN;
  /** How much of the window is covered by still readings, 0 to 1. */
  filled = 0;
  rest: Rest | null = null;

  readonly #options: SteadyOptions;
  readonly #slots: Slot[] = Array.from({ length: CAPACITY }, emptySlot);
  /** Means of the closed slots, newest first, in counts from the newest; scratch of `#judge`. */
  readonly #means = new Float64Array(CAPACITY);
  #newest = -1;
  #size = 0;
  #open = false;
  #last_s = Number.NaN;
  #interval_s = 0;
  #count = 1;
  readonly #restless = { level: 0, logScale: 0, at_s: 0 };

  constructor(options: SteadyOptions) {
    this.#options = options;
  }

  /** Forgets the readings, not the restlessness: called when contact breaks or the range changes. */
  reset(): void {
    this.#size = 0;
    this.#newest = -1;
    this.#open = false;
    this.filled = 0;
    this.rest = null;
    this.low = this.high = Number.NaN;
  }

  /** `count`: the value of one count. Returns whether the figures above were brought up to date. */
  push(time_s: number, value: number, count: number): boolean {
    if (count !== this.#count) {
      this.reset();
      this.#count = count;
    }
    if (this.#size > 0 || this.#open) this.#interval_s = time_s - this.#last_s;
    this.#last_s = time_s;
    const slot = this.#openAt(time_s) ? this.#slot(0) : this.#next(time_s, value);
    const x = value - slot.origin;
    slot.n += 1;
    slot.sum += x;
    slot.squares += x * x;
    slot.end_s = time_s;
    // Closed as soon as the next reading cannot fall into it any more.
    if (time_s + this.#interval_s * 1.01 < slot.start_s + this.#width) return false;
    this.#open = false;
    this.#judge();
    return true;
  }

  get #width(): number {
    return this.#options.window_s / SLOTS_PER_WINDOW;
  }

  #slot(back: number): Slot {
    return this.#slots[(this.#newest - back + CAPACITY) % CAPACITY] as Slot;
  }

  #openAt(time_s: number): boolean {
    return this.#open && time_s < this.#slot(0).start_s + this.#width;
  }

  #next(time_s: number, value: number): Slot {
    this.#newest = (this.#newest + 1) % CAPACITY;
    this.#size = Math.min(CAPACITY, this.#size + 1);
    this.#open = true;
    const slot = this.#slot(0);
    slot.start_s = slot.end_s = time_s;
    slot.origin = value;
    slot.n = slot.sum = slot.squares = 0;
    return slot;
  }

  #judge(): void {
    const { window_s, counts } = this.#options;
    const now = this.#slot(0);
    const origin = now.origin + now.sum / now.n;
    const reach = now.end_s + this.#interval_s * 1.01;
    let low = 0;
    let high = 0;
    let still = 0;
    let inWindow = 0;
    let covered = 0;
    for (let back = 0; back < this.#size; back++) {
      const slot = this.#slot(back);
      const mean = (slot.origin - origin + slot.sum / slot.n) / this.#count;
      this.#means[back] = mean;
      if (covered < window_s || back < FEWEST) {
        low = Math.min(low, mean);
        high = Math.max(high, mean);
        inWindow = back + 1;
        covered = reach - slot.start_s;
        if (high - low <= counts) still = Math.min(1, covered / window_s);
      }
    }
    this.low = origin + low * this.#count;
    this.high = origin + high * this.#count;
    this.filled = still;
    this.#feelRestlessness();
    const quiet = covered >= window_s && inWindow >= FEWEST && high - low <= counts;
    this.rest =
      quiet && !this.#creeps(inWindow) && this.#convinces(inWindow, high - low)
        ? this.#summary(inWindow, origin)
        : null;
  }

  /** Moves beyond the allowed counts, remembered for about two windows. */
  #feelRestlessness(): void {
    const now_s = this.#last_s;
    const memory = this.#restless;
    const decay = Math.exp((memory.at_s - now_s) / (2 * this.#options.window_s));
    memory.level *= decay;
    memory.logScale *= decay;
    memory.at_s = now_s;
    const move = this.#size > 1 ? Math.abs(this.#means[1] as number) : 0;
    if (move > this.#options.counts) {
      memory.level += 1;
      memory.logScale += Math.log(move);
    }
  }

  /**
   * After a restless stretch a few equal readings may be chance: the more the readings moved, the
   * fewer in a row convince.
   */
  #convinces(inWindow: number, range: number): boolean {
    const { level, logScale } = this.#restless;
    if (level < 1.5) return true;
    const scale = Math.exp(logScale / level);
    const run = this.#quietRun();
    const chance = Math.min(1, (Math.max(1, range) + 1) / scale);
    return Math.max(inWindow, run) * chance ** (Math.max(inWindow, run) - 1) < 1e-4;
  }

  #quietRun(): number {
    let low = 0;
    let high = 0;
    for (let back = 0; back < this.#size; back++) {
      low = Math.min(low, this.#means[back] as number);
      high = Math.max(high, this.#means[back] as number);
      if (high - low > this.#options.counts) return back;
    }
    return this.#size;
  }

  #creeps(inWindow: number): boolean {
    const far = this.#lookBack();
    for (let slots = inWindow; slots <= far; slots *= 2) {
      if (this.#remaining(slots) > this.#options.counts / 3) return true;
    }
    return far > inWindow && this.#remaining(far) > this.#options.counts / 3;
  }

  /** Slots back to the last jump: what came before it tells nothing of creep. */
  #lookBack(): number {
    const jump = 8 * this.#options.counts;
    for (let back = 1; back < this.#size; back++) {
      const move = (this.#means[back] as number) - (this.#means[back - 1] as number);
      if (Math.abs(move) > jump) return back;
    }
    return this.#size;
  }

  /**
   * How many counts the reading will still creep, from the means of three equal blocks: of an
   * exponential approach the steps d1, d2 between blocks shrink by one ratio, so that
   * d2²/(d1 − d2) is left (Aitken). A step too small to tell from noise counts as none.
   */
  #remaining(slots: number): number {
    const block = Math.floor(slots / 3);
    if (block === 0) return 0;
    const late = this.#blockMean(0, block);
    const middle = this.#blockMean(block, block);
    const early = this.#blockMean(2 * block, block);
    const d1 = middle - early;
    const d2 = late - middle;
    const doubt = Math.max(0.4, (2 * this.#noise(slots)) / Math.sqrt(block));
    if (Math.abs(d2) < doubt) return 0;
    if (d1 * d2 <= 0) return 0;
    const shrink = Math.abs(d1) - Math.abs(d2);
    return shrink <= 0 ? Number.POSITIVE_INFINITY : (d2 * d2) / shrink;
  }

  #blockMean(from: number, n: number): number {
    let sum = 0;
    for (let back = from; back < from + n; back++) sum += this.#means[back] as number;
    return sum / n;
  }

  /** Standard deviation of a slot mean, from successive differences: a trend hardly enters. */
  #noise(slots: number): number {
    let sum = 0;
    for (let back = 1; back < slots; back++) {
      const move = (this.#means[back] as number) - (this.#means[back - 1] as number);
      sum += move * move;
    }
    return Math.sqrt(sum / (2 * Math.max(1, slots - 1)));
  }

  #summary(inWindow: number, origin: number): Rest {
    let samples = 0;
    let sum = 0;
    let squares = 0;
    for (let back = 0; back < inWindow; back++) {
      const { n, sum: s, squares: q, origin: own } = this.#slot(back);
      const shift = own - origin;
      samples += n;
      sum += s + n * shift;
      squares += q + 2 * shift * s + n * shift * shift;
    }
    const variance = Math.max(0, squares - (sum * sum) / samples) / Math.max(1, samples - 1);
    const since_s = this.#slot(inWindow - 1).start_s;
    return { mean: origin + sum / samples, spread: Math.sqrt(variance), samples, since_s };
  }
}

function emptySlot(): Slot {
  return { start_s: 0, end_s: 0, origin: 0, n: 0, sum: 0, squares: 0 };
}
