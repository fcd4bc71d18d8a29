/** No meter is called overdue sooner than this, s. */
const SOONEST_S = 0.5;
/** So many of the bytes that were no frame are kept. */
const SAMPLE_BYTES = 2_048;
/** Gaps between frames that the estimate of the meter's pace looks back on. */
const GAPS = 9;

/**
 * What silence means, against the pace that the meter really keeps: its own where enough frames
 * were seen, else what its protocol says. Times in seconds on one clock.
 */
export class Watchdog {
  readonly #usual_s: number;
  readonly #gaps: number[] = [];
  #last_s: number;
  #bytesSince = 0;
  #unread: Uint8Array[] = [];
  #everFrame = false;

  constructor(usualInterval_s: number, opened_s: number) {
    this.#usual_s = usualInterval_s;
    this.#last_s = opened_s;
  }

  bytes(bytes: Uint8Array): void {
    if (this.#bytesSince < SAMPLE_BYTES) this.#unread.push(bytes);
    this.#bytesSince += bytes.length;
  }

  frame(now_s: number): void {
    if (this.#everFrame && now_s > this.#last_s) this.#gaps.push(now_s - this.#last_s);
    if (this.#gaps.length > GAPS) this.#gaps.shift();
    this.#last_s = now_s;
    this.#bytesSince = 0;
    this.#unread = [];
    this.#everFrame = true;
  }

  /** Age of the last frame, or of the connection where there was none. */
  age_s(now_s: number): number {
    return now_s - this.#last_s;
  }

  get bytesSinceFrame(): number {
    return this.#bytesSince;
  }

  /** The first of the bytes since the last frame: enough to find out what they are. */
  get unread(): Uint8Array {
    return Uint8Array.from(this.#unread.flatMap((bytes) => [...bytes]));
  }

  /** A frame is overdue after this long: two intervals. */
  get overdue_s(): number {
    return Math.max(SOONEST_S, 2 * this.#interval_s());
  }

  /** Long enough without a frame to say that the bytes, if any, are of another kind. */
  get unreadable_s(): number {
    return Math.max(1.5, 4 * this.#interval_s());
  }

  /** So long that the connection itself is in doubt. */
  get dead_s(): number {
    return Math.max(5, 10 * this.#interval_s());
  }

  #interval_s(): number {
    if (this.#gaps.length < GAPS) return this.#usual_s;
    const sorted = [...this.#gaps].sort((a, b) => a - b);
    return sorted[(GAPS - 1) / 2] ?? this.#usual_s;
  }
}
