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
/** Standard deviation of rounding to one count, 1/√12. */
const ROUNDING = 0.29;
/** In standard deviations: what movement is more than noise. */
const SIGNIFICANT = 2.5;
/** Counts that a move is taken for whose size nobody saw. */
const FIRST_SCALE = 30;
/** Creep of less than this share of the allowed counts a window counts as still. */
const SLOWEST = 0.17;
/** Probability that restless readings look still by chance, below which stillness is believed. */
const CHANCE = 1e-6;
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
  readonly #slots: Slot[] = Array.from({ length: CAPACITY }, emptySlot);
  /** Means of the closed slots, newest first, in counts from the newest; scratch of `#judge`. */
  readonly #means = new Float64Array(CAPACITY);
  #newest = -1;
  #size = 0;
  #open = false;
  #last_s = Number.NaN;
  #interval_s = 0;
  #count = 1;
  /** The window still shows the end of a movement: only its later half is told. */
  #moved = false;
  /** A stream that begins with a value may be anything: taken for restless. */
  readonly #restless = {
    level: 3,
    logScale: 3 * Math.log(FIRST_SCALE),
    at_s: Number.NaN,
    mean: Number.NaN,
    move: 0,
  };

  constructor(options: SteadyOptions) {
    this.#options = options;
  }

  /** Forgets the readings, not the restlessness: called when contact breaks or the range changes. */
  reset(): void {
    if (Number.isNaN(this.#last_s)) this.#restless.level = this.#restless.logScale = 0;
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
    if (this.#size > 0 || this.#open) this.#interval_s = time_s - this.#last_s;
    this.#last_s = time_s;
    const slot = this.#openAt(time_s) ? this.#slot(0) : this.#next(time_s, value);
    const x = value - slot.origin;
    slot.n += 1;
    slot.sum += x;
    slot.squares += x * x;
    slot.moves += (x - slot.latest) ** 2;
    slot.latest = x;
    slot.end_s = time_s;
    // Closed as soon as the next reading cannot fall into it any more; a slow meter's at once.
    const next_s = time_s + this.#interval_s * 1.01;
    const slow = this.#interval_s > this.#width / 2;
    if (!slow && next_s < slot.start_s + this.#width) return false;
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
    slot.n = slot.sum = slot.squares = slot.moves = slot.latest = 0;
    return slot;
  }

  #judge(): void {
    const { window_s, counts } = this.#options;
    const now = this.#slot(0);
    const origin = now.origin + now.sum / now.n;
    // A reading stands for the time since the one before, up to half a slot of it.
    const reach = now.end_s + Math.min(this.#interval_s * 1.01, this.#width / 2);
    let low = 0;
    let high = 0;
    let still = 0;
    let inWindow = 0;
    let covered = 0;
    let noise = 0;
    for (let back = 0; back < this.#size; back++) {
      const slot = this.#slot(back);
      const mean = (slot.origin - origin + slot.sum / slot.n) / this.#count;
      this.#means[back] = mean;
      if (covered < window_s || back < FEWEST) {
        low = Math.min(low, mean);
        high = Math.max(high, mean);
        inWindow = back + 1;
        covered = reach - slot.start_s;
        noise += slot.n > 1 ? slot.moves / (2 * (slot.n - 1) * slot.n) : 0;
        if (high - low <= counts) still = Math.min(1, covered / window_s);
      }
    }
    this.low = origin + low * this.#count;
    this.high = origin + high * this.#count;
    this.filled = still;
    // White noise of the meter itself spreads the slot means by so much; it is no movement.
    const own = Math.sqrt(noise / Math.max(1, inWindow)) / this.#count;
    this.#feelRestlessness(origin, Math.max(4 * own, this.#leastMove(inWindow)));
    const allowed = Math.max(counts, Math.min(6 * own, NOISE_CAP * Math.abs(origin / this.#count)));
    this.allowed = allowed * this.#count;
    const quiet = covered >= window_s && inWindow >= FEWEST && high - low <= allowed;
    this.rest =
      quiet && !this.#creeps(inWindow) && this.#convinces(high - low, allowed)
        ? this.#summary(this.#moved ? Math.ceil(inWindow / 2) : inWindow, origin)
        : null;
  }

  /** Half the allowed counts, or up to all of them where the readings are noisy. */
  #leastMove(inWindow: number): number {
    const { counts } = this.#options;
    const noise = inWindow > FEWEST ? this.#noise(inWindow) : 0;
    return Math.min(counts, Math.max(counts / 2, 4 * noise));
  }

  /**
   * Moves beyond half the allowed counts that do not go on the way of the one before, remembered for
   * about two windows: creep is no restlessness, rubbing and ghost volts are.
   */
  #feelRestlessness(mean: number, least: number): void {
    const memory = this.#restless;
    const now_s = this.#last_s;
    if (Number.isNaN(memory.at_s)) memory.at_s = this.#slot(this.#size - 1).start_s;
    const decay = Math.exp((memory.at_s - now_s) / (2 * this.#options.window_s));
    memory.level *= decay;
    memory.logScale *= decay;
    memory.at_s = now_s;
    const move = (mean - memory.mean) / this.#count;
    const broken = this.#size === 1;
    const onward = !broken && move * memory.move > 0;
    memory.mean = mean;
    memory.move = move;
    if (onward || !(Math.abs(move) > least || broken)) return;
    memory.level += 1;
    const size = broken ? FIRST_SCALE : least;
    memory.logScale += Math.log(Math.max(Math.abs(move) || size, size));
  }

  /**
   * After a restless stretch a few equal readings may be chance: the more the readings moved, the
   * fewer in a row convince.
   */
  #convinces(range: number, allowed: number): boolean {
    const { level, logScale } = this.#restless;
    if (level <= 1) return true;
    const scale = Math.exp(logScale / level);
    const run = this.#quietRun(allowed);
    const chance = Math.min(1, (Math.max(1, range) + 1) / scale);
    return run * chance ** (run - 1) < CHANCE;
  }

  #quietRun(allowed: number): number {
    let low = 0;
    let high = 0;
    for (let back = 0; back < this.#size; back++) {
      low = Math.min(low, this.#means[back] as number);
      high = Math.max(high, this.#means[back] as number);
      if (high - low > allowed) return back;
    }
    return this.#size;
  }

  /** Looked for over one, two, four and six windows, as far as the readings reach back. */
  #creeps(inWindow: number): boolean {
    this.#moved = false;
    const far = this.#lookBack();
    const noise = this.#noise(inWindow);
    for (let slots = inWindow; slots < far; slots *= 2) {
      if (this.#remaining(slots, noise) > this.#options.counts / 3) return true;
    }
    return this.#remaining(Math.max(inWindow, far), noise) > this.#options.counts / 3;
  }

  /**
   * Slots back to the last jump, or to where the reading turned: what came before tells nothing
   * of creep, which goes one way.
   */
  #lookBack(): number {
    const { counts, window_s } = this.#options;
    const oldest_s = this.#last_s - LOOK_BACK_WINDOWS * window_s;
    let way = 0;
    for (let back = 1; back < this.#size; back++) {
      if (this.#slot(back).start_s < oldest_s) return back;
      const move = (this.#means[back] as number) - (this.#means[back - 1] as number);
      if (Math.abs(move) > 8 * counts) return back;
      if (Math.abs(move) <= counts) continue;
      if (way !== 0 && Math.sign(move) !== way) return back;
      way = Math.sign(move);
    }
    return this.#size;
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
    let sum = 0;
    for (let back = from; back < from + n; back++) sum += this.#means[back] as number;
    return sum / n;
  }

  /**
   * Standard deviation of a slot mean, from its changes less their mean, so that a trend hardly
   * enters. A few changes tell little: four of mere rounding are added.
   */
  #noise(slots: number): number {
    const n = slots - 1;
    const mean = ((this.#means[0] as number) - (this.#means[n] as number)) / n;
    let sum = 0;
    for (let back = 1; back <= n; back++) {
      const move = (this.#means[back - 1] as number) - (this.#means[back] as number) - mean;
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
    return { mean: origin + sum / samples, spread: Math.sqrt(variance), samples, since_s };
  }
}

function emptySlot(): Slot {
  return { start_s: 0, end_s: 0, origin: 0, n: 0, sum: 0, squares: 0, moves: 0, latest: 0 };
}
