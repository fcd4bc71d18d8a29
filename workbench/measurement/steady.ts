import { Creep, quietRun, scatterOf } from "./creep.js";
import { Restlessness } from "./restless.js";
import { addReading, Slots } from "./slots.js";
import type { Rest, Slot } from "./slots.js";

export type { Rest } from "./slots.js";

/**
 * Tells a reading that has come to rest from one that still moves, in counts of the meter. The
 * stream is cut into slots of an eighth of the window, so that it costs the same at 2 and at
 * 1,000 readings a second; a slow meter has one reading a slot. The rules and their error rates
 * are in docs/study-settle.md.
 */
const SLOTS_PER_WINDOW = 8;
/** Creep is looked for this many windows back. */
const LOOK_BACK_WINDOWS = 6;
/** No window is judged on fewer slots than this, however slow the meter. */
const FEWEST = 3;
/** Noise of the meter's own is excused up to this share of the reading. */
const NOISE_CAP = 5e-4;

export interface SteadyOptions {
  /** How long the reading must stay still, seconds. */
  readonly window_s: number;
  /** How many counts it may move meanwhile, peak to peak; a third of it as trend. */
  readonly counts: number;
}

/** The newest slots as far as a window reaches back, in counts. */
interface WindowLook {
  readonly slots: number;
  readonly covered_s: number;
  /** Of the slot means about the newest. */
  readonly low: number;
  readonly high: number;
  /** Share of the window that is still, counted from its end. */
  readonly still: number;
  /** Standard deviation of a slot mean that the meter's own white noise makes. */
  readonly own: number;
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
  readonly #slots = new Slots();
  readonly #creep: Creep;
  readonly #restless: Restlessness;
  /** The newest slot while readings still fall into it. */
  #open: Slot | null = null;
  #last_s = Number.NaN;
  #interval_s = 0;
  #count = 1;

  constructor(options: SteadyOptions) {
    this.#options = options;
    this.#width = options.window_s / SLOTS_PER_WINDOW;
    this.#creep = new Creep(this.#slots, options.counts, options.window_s);
    this.#restless = new Restlessness(options.window_s);
  }

  /** Forgets the readings, not the restlessness: called when contact breaks or the range changes. */
  reset(): void {
    if (Number.isNaN(this.#last_s)) this.#restless.forget();
    this.#slots.clear();
    this.#open = null;
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
    if (this.#slots.size > 0) this.#interval_s = time_s - this.#last_s;
    this.#last_s = time_s;
    const slot = this.#slotAt(time_s, value);
    addReading(slot, time_s, value);
    // Closed as soon as the next reading cannot fall into it any more; a slow meter's at once.
    const next_s = time_s + this.#interval_s * 1.01;
    if (next_s < slot.start_s + this.#width && this.#interval_s <= this.#width / 2) return false;
    this.#close();
    this.#judge();
    return true;
  }

  #slotAt(time_s: number, value: number): Slot {
    const open = this.#open;
    if (open !== null && time_s < open.start_s + this.#width) return open;
    if (open !== null) this.#close();
    return (this.#open = this.#slots.begin(time_s, value));
  }

  #close(): void {
    this.#open = null;
    this.#creep.follow(this.#slots.close(this.#count));
  }

  /** One reading fills a slot and more. */
  get #isSlow(): boolean {
    return this.#interval_s > this.#width;
  }

  #judge(): void {
    const { window_s, counts } = this.#options;
    const look = this.#lookBack();
    const range = look.high - look.low;
    const origin = this.#slots.reference + this.#slots.mean(0) * this.#count;
    this.low = origin + look.low * this.#count;
    this.high = origin + look.high * this.#count;
    this.filled = look.still;
    const scatter = scatterOf(this.#slots, look.slots);
    const least = Math.max(4 * look.own, this.#leastMove(look.slots, scatter));
    const isFirst = this.#slots.size === 1;
    this.#restless.feel(this.#last_s, origin, this.#count, isFirst ? null : least);
    const excused = Math.min(6 * look.own, NOISE_CAP * Math.abs(origin / this.#count));
    const allowed = Math.max(counts, excused);
    this.allowed = allowed * this.#count;
    const quiet = look.covered_s >= window_s && look.slots >= FEWEST && range <= allowed;
    this.rest = quiet && this.#isAtRest(look, scatter, allowed) ? this.#told(look, origin) : null;
  }

  #isAtRest(look: WindowLook, scatter: number, allowed: number): boolean {
    const reach = this.#reach();
    return (
      !this.#creep.isSeen(look.slots, reach, scatter, this.#isSlow) &&
      this.#restless.convinces(look.high - look.low, () => quietRun(this.#slots, reach, allowed))
    );
  }

  /** Of a window that still shows the end of a movement only the later half is told. */
  #told({ slots }: WindowLook, origin: number): Rest {
    return this.#slots.summary(this.#creep.moved ? Math.ceil(slots / 2) : slots, origin);
  }

  #lookBack(): WindowLook {
    const { window_s, counts } = this.#options;
    const slots = this.#slots;
    const newest = slots.mean(0);
    // A reading stands for the time since the one before: of a slow meter, that averages over most
    // of it, all of that; else up to half a slot of it.
    const most_s = this.#isSlow ? Infinity : this.#width / 2;
    const end_s = slots.slot(0).end_s + Math.min(this.#interval_s * 1.01, most_s);
    let low = 0;
    let high = 0;
    let still = 0;
    let covered_s = 0;
    let noise = 0;
    let n = 0;
    while (n < slots.size && (covered_s < window_s || n < FEWEST)) {
      const slot = slots.slot(n);
      const mean = slots.mean(n) - newest;
      low = Math.min(low, mean);
      high = Math.max(high, mean);
      covered_s = end_s - slot.start_s;
      noise += slot.n > 1 ? slot.moves / (2 * (slot.n - 1) * slot.n) : 0;
      if (high - low <= counts) still = Math.min(1, covered_s / window_s);
      n++;
    }
    const own = Math.sqrt(noise / Math.max(1, n)) / this.#count;
    return { slots: n, covered_s, low, high, still, own };
  }

  /** How many slots back anything is looked for. */
  #reach(): number {
    const slots = this.#slots;
    const oldest_s = this.#last_s - LOOK_BACK_WINDOWS * this.#options.window_s;
    let back = Math.min(slots.size, LOOK_BACK_WINDOWS * SLOTS_PER_WINDOW);
    // A slow meter has more slots in a window than eight, and a gap fewer.
    while (back < slots.size && slots.start_s(back) >= oldest_s) back++;
    while (back > 0 && slots.start_s(back - 1) < oldest_s) back--;
    return back;
  }

  /** Half the allowed counts, or up to all of them where the readings are noisy. */
  #leastMove(inWindow: number, scatter: number): number {
    const { counts } = this.#options;
    const noise = inWindow > FEWEST ? scatter : 0;
    return Math.min(counts, Math.max(counts / 2, 4 * noise));
  }
}
