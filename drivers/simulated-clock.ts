import type { Clock } from "./clock.js";

/**
 * Time that stands still until it is advanced; timers fire on the way, in order. One that is due
 * at once does not wait for time to move: it fires on the next turn of the event loop.
 */
export class SimulatedClock implements Clock {
  #now_ns: bigint;
  #timers: { readonly due_ns: bigint; readonly fn: () => void }[] = [];

  constructor(start_ns = 0n) {
    this.#now_ns = start_ns;
  }

  /** When the next timer is due; null: none is set. */
  get due_ns(): bigint | null {
    return this.#timers[0]?.due_ns ?? null;
  }

  now_ns(): bigint {
    return this.#now_ns;
  }

  after(delay_ms: number, fn: () => void): () => void {
    const timer = { due_ns: this.#now_ns + BigInt(Math.round(delay_ms * 1e6)), fn };
    const later = this.#timers.findIndex((other) => other.due_ns > timer.due_ns);
    this.#timers.splice(later < 0 ? this.#timers.length : later, 0, timer);
    if (timer.due_ns <= this.#now_ns) setImmediate(() => this.advanceTo(this.#now_ns));
    return () => {
      this.#timers = this.#timers.filter((other) => other !== timer);
    };
  }

  /** Moves on to this time; earlier times change nothing. */
  advanceTo(time_ns: bigint): void {
    for (let next = this.#timers[0]; next && next.due_ns <= time_ns; next = this.#timers[0]) {
      this.#timers.shift();
      this.#reach(next.due_ns);
      next.fn();
    }
    this.#reach(time_ns);
  }

  #reach(time_ns: bigint): void {
    if (time_ns > this.#now_ns) this.#now_ns = time_ns;
  }
}
