import { Restlessness } from "./restless.js";

/**
 * Tells a reading that has come to rest from one that still moves, in counts of the meter. The
 * stream is cut into slots of an eighth of the window, so that it costs the same at 2 and at
 * 1,000 readings a second; a slow meter has one reading a slot. The rules and their error rates
 * are in docs/study-settle.md.
 */
const SLOTS_PER_WINDOW = 8;
/** Creep is looked for this many windows back. */
const LOOK_BACK_WINDOWS = 6;
const CAPACITY = 2 * SLOTS_PER_WINDOW * LOOK_BACK_WINDOWS + 2;
/** No window is judged on fewer slots than this, however slow the meter. */
const FEWEST = 3;
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
/** Noise of the meter's own is excused up to this share of the reading. */
const NOISE_CAP = 5e-4;

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
  /** Sum of squared changes from reading to reading, and the latest reading. */
  moves: number;
  latest: number;
}

export class SteadyTracker {
  /** Peak to peak of the slot means over the window, in the unit of the readings. */
  low = Number.NaN;
  high = Number.NaN;
  /** How much of the window is covered by still readings, 0 to 1. */
  filled = 0;
  rest: Rest | null = null;
  /** Peak to peak that counted as still at the last look, in the unit of the readings. */
  allowed = 0;

  readonly #options: SteadyOptions;
  readonly #width: number;
  readonly #slots: Slot[] = Array.from({ length: CAPACITY }, emptySlot);
  #current = emptySlot();
  /**
   * Means of the closed slots in counts from `#reference`, and their starts. Each is written twice,
   * a capacity apart, so that the newest and all before it lie in one stretch.
   */
  readonly #means = new Float64Array(2 * CAPACITY);
  readonly #starts = new Float64Array(2 * CAPACITY);
  /** Running sums of the means, so that the mean of a block costs the same however long it is. */
  readonly #sums = new Float64Array(2 * CAPACITY);
  #reference = 0;
  /** Where the newest stands in them. */
  #top = 0;
  #newest = -1;
  #size = 0;
  /** How many slots back anything is looked for. */
  #reach = 0;
  /** Slots since the last jump or turn, since the last large move, and which way that went. */
  #sinceTurn = 0;
  #sinceMove = 0;
  #way = 0;
  #open = false;
  #last_s = Number.NaN;
  #interval_s = 0;
  #count = 1;
  /** The window still shows the end of a movement: only its later half is told. */
  #moved = false;
  readonly #restless: Restlessness;

  constructor(options: SteadyOptions) {
    this.#options = options;
    this.#width = options.window_s / SLOTS_PER_WINDOW;
    this.#restless = new Restlessness(options.window_s);
  }

  /** Forgets the readings, not the restlessness: called when contact breaks or the range changes. */
  reset(): void {
    if (Number.isNaN(this.#last_s)) this.#restless.forget();
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
      if (!Number.isNaN(this.#last_s)) this.reset();
      this.#count = count;
    }
    const interval_s = this.#size > 0 ? time_s - this.#last_s : this.#interval_s;
    this.#interval_s = interval_s;
    this.#last_s = time_s;
    const slot = this.#openAt(time_s) ? this.#current : this.#next(time_s, value);
    const x = value - slot.origin;
    const move = x - slot.latest;
    slot.n += 1;
    slot.sum += x;
    slot.squares += x * x;
    slot.moves += move * move;
    slot.latest = x;
    slot.end_s = time_s;
    // Closed as soon as the next reading cannot fall into it any more; a slow meter's at once.
    const next_s = time_s + interval_s * 1.01;
    if (next_s < slot.start_s + this.#width && interval_s <= this.#width / 2) return false;
    this.#open = false;
    this.#judge();
    return true;
  }

  /** One reading fills a slot and more. */
  get #isSlow(): boolean {
    return this.#interval_s > this.#width;
  }

  #slot(back: number): Slot {
    return this.#slots[(this.#newest - back + CAPACITY) % CAPACITY] as Slot;
  }

  #openAt(time_s: number): boolean {
    return this.#open && time_s < this.#current.start_s + this.#width;
  }

  #next(time_s: number, value: number): Slot {
    if (this.#open) this.#close(this.#slot(0));
    if (this.#size === 0) this.#reference = value;
    this.#newest = (this.#newest + 1) % CAPACITY;
    this.#size = Math.min(CAPACITY, this.#size + 1);
    this.#open = true;
    const slot = this.#slot(0);
    this.#current = slot;
    slot.start_s = slot.end_s = time_s;
    slot.origin = value;
    slot.n = slot.sum = slot.squares = slot.moves = slot.latest = 0;
    return slot;
  }

  #judge(): void {
    const { window_s, counts } = this.#options;
    const now = this.#slot(0);
    this.#close(now);
    const newest = this.#mean(0);
    const origin = this.#reference + newest * this.#count;
    // A reading stands for the time since the one before: of a slow meter, that averages over most
    // of it, all of that; else up to half a slot of it.
    const most_s = this.#isSlow ? Infinity : this.#width / 2;
    const reach = now.end_s + Math.min(this.#interval_s * 1.01, most_s);
    let low = 0;
    let high = 0;
    let still = 0;
    let inWindow = 0;
    let covered = 0;
    let noise = 0;
    for (let back = 0; back < this.#size && (covered < window_s || back < FEWEST); back++) {
      const slot = this.#slot(back);
      const mean = this.#mean(back) - newest;
      low = Math.min(low, mean);
      high = Math.max(high, mean);
      inWindow = back + 1;
      covered = reach - slot.start_s;
      noise += slot.n > 1 ? slot.moves / (2 * (slot.n - 1) * slot.n) : 0;
      if (high - low <= counts) still = Math.min(1, covered / window_s);
    }
    this.#reach = this.#readBack();
    this.low = origin + low * this.#count;
    this.high = origin + high * this.#count;
    this.filled = still;
    // White noise of the meter itself spreads the slot means by so much; it is no movement.
    const own = Math.sqrt(noise / Math.max(1, inWindow)) / this.#count;
    const scatter = this.#noise(inWindow);
    const least = Math.max(4 * own, this.#leastMove(inWindow, scatter));
    this.#restless.feel(this.#last_s, origin, this.#count, this.#size === 1 ? null : least);
    const allowed = Math.max(counts, Math.min(6 * own, NOISE_CAP * Math.abs(origin / this.#count)));
    this.allowed = allowed * this.#count;
    const quiet = covered >= window_s && inWindow >= FEWEST && high - low <= allowed;
    this.rest =
      quiet &&
      !this.#creeps(inWindow, scatter) &&
      this.#restless.convinces(high - low, () => this.#quietRun(allowed))
        ? this.#summary(this.#moved ? Math.ceil(inWindow / 2) : inWindow, origin)
        : null;
  }

  /** How many slots back anything is looked for. */
  #readBack(): number {
    const oldest_s = this.#last_s - LOOK_BACK_WINDOWS * this.#options.window_s;
    let back = Math.min(this.#size, Math.ceil(LOOK_BACK_WINDOWS * SLOTS_PER_WINDOW));
    // A slow meter has more slots in a window than eight, and a gap fewer.
    while (back < this.#size && (this.#starts[this.#top - back] as number) >= oldest_s) back++;
    while (back > 0 && (this.#starts[this.#top - back + 1] as number) < oldest_s) back--;
    return back;
  }

  #mean(back: number): number {
    return this.#means[this.#top - back] as number;
  }

  #close(slot: Slot): void {
    this.#top = this.#newest + CAPACITY;
    const mean = (slot.origin - this.#reference + slot.sum / slot.n) / this.#count;
    this.#means[this.#newest] = this.#means[this.#top] = mean;
    this.#starts[this.#newest] = this.#starts[this.#top] = slot.start_s;
    const sum = mean + (this.#size > 1 ? (this.#sums[this.#top - 1] as number) : 0);
    this.#sums[this.#newest] = this.#sums[this.#top] = sum;
    this.#follow(this.#size > 1 ? mean - this.#mean(1) : Number.POSITIVE_INFINITY);
  }

  /**
   * Keeps how many slots lie after the last jump, or after where the reading turned: what came
   * before tells nothing of creep, which goes one way.
   */
  #follow(move: number): void {
    const { counts } = this.#options;
    const size = Math.abs(move);
    this.#sinceTurn += 1;
    this.#sinceMove += 1;
    if (size <= counts) return;
    const way = Math.sign(move);
    if (size > 8 * counts) this.#sinceTurn = 1;
    else if (this.#way !== 0 && way !== this.#way) {
      this.#sinceTurn = Math.min(this.#sinceTurn, this.#sinceMove);
    }
    this.#way = size > 8 * counts ? 0 : way;
    this.#sinceMove = 1;
  }

  /** Half the allowed counts, or up to all of them where the readings are noisy. */
  #leastMove(inWindow: number, scatter: number): number {
    const { counts } = this.#options;
    const noise = inWindow > FEWEST ? scatter : 0;
    return Math.min(counts, Math.max(counts / 2, 4 * noise));
  }

  #quietRun(allowed: number): number {
    let low = this.#mean(0);
    let high = low;
    for (let back = 1; back < this.#reach; back++) {
      low = Math.min(low, this.#mean(back));
      high = Math.max(high, this.#mean(back));
      if (high - low > allowed) return back;
    }
    return this.#reach;
  }

  /** Looked for over one, two, four and six windows, as far as the readings reach back. */
  #creeps(inWindow: number, noise: number): boolean {
    this.#moved = false;
    const far = Math.max(inWindow, Math.min(this.#sinceTurn, this.#reach));
    if (far < FEWEST_FOR_CREEP) return this.#quietRun(1) < far;
    const most = this.#options.counts * (this.#isSlow ? LEFT.slow : LEFT.fast);
    for (let slots = inWindow; slots < far; slots *= 2) {
      if (this.#remaining(slots, noise) > most) return true;
    }
    return this.#remaining(far, noise) > most;
  }

  /**
   * How many counts the reading may still creep, from the means of the first, middle and last
   * third: of an exponential approach the steps d1, d2 between them shrink by one ratio, so that
   * d2²/(d1 − d2) is left (Aitken); d2 is taken at the upper end of its doubt. 0 where the whole
   * movement cannot be told from noise.
   */
  #remaining(slots: number, noise: number): number {
    const block = Math.max(1, Math.floor(slots / 3));
    if (slots < 3) return 0;
    const late = this.#blockMean(0, block);
    const early = this.#blockMean(slots - block, block);
    const middle = this.#blockMean(block, slots - 2 * block);
    const doubt = noise * Math.sqrt(2 / block);
    const lasted = (this.#last_s - this.#slot(slots - 1).start_s) / this.#options.window_s;
    const slowest = (SLOWEST * this.#options.counts * lasted) / 1.5;
    const way = Math.abs(late - early);
    if (way > SIGNIFICANT * doubt) this.#moved = true;
    if (way <= Math.max(SIGNIFICANT * doubt, slowest)) return 0;
    const sign = Math.sign(late - early);
    const d1 = sign * (middle - early);
    const d2 = Math.max(0, sign * (late - middle)) + doubt;
    return d1 <= d2 ? Number.POSITIVE_INFINITY : (d2 * d2) / (d1 - d2);
  }

  #blockMean(from: number, n: number): number {
    const until = this.#sums[this.#top - from] as number;
    const before = from + n < this.#size ? (this.#sums[this.#top - from - n] as number) : 0;
    return (until - before) / n;
  }

  /**
   * Standard deviation of a slot mean, from its changes less their mean, so that a trend hardly
   * enters. A few changes tell little: four of mere rounding are added.
   */
  #noise(slots: number): number {
    const n = slots - 1;
    if (n < 1) return ROUNDING;
    const mean = (this.#mean(0) - this.#mean(n)) / n;
    let sum = 0;
    for (let back = 1; back <= n; back++) {
      const move = this.#mean(back - 1) - this.#mean(back) - mean;
      sum += move * move;
    }
    return Math.sqrt((4 * ROUNDING * ROUNDING + sum / 2) / (4 + n - 1));
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
    return {
      mean: origin + sum / samples,
      spread: Math.sqrt(variance),
      samples,
      since_s,
    };
  }
}

function emptySlot(): Slot {
  return {
    start_s: 0,
    end_s: 0,
    origin: 0,
    n: 0,
    sum: 0,
    squares: 0,
    moves: 0,
    latest: 0,
  };
}
