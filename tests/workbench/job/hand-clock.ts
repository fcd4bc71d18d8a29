import type { JobClock } from "../../../workbench/job/recorder.js";

/** A clock that a test turns by hand; timers fire in order as it passes them. */
export class HandClock implements JobClock {
  #now_ns = 0n;
  readonly #timers = new Set<{ readonly due_ns: bigint; readonly fn: () => void }>();

  now_ns(): bigint {
    return this.#now_ns;
  }

  after(delay_ms: number, fn: () => void): () => void {
    const timer = { due_ns: this.#now_ns + BigInt(Math.round(delay_ms * 1e6)), fn };
    this.#timers.add(timer);
    return () => void this.#timers.delete(timer);
  }

  advance(delay_ms: number): void {
    const end_ns = this.#now_ns + BigInt(Math.round(delay_ms * 1e6));
    for (let next = this.#next(end_ns); next !== null; next = this.#next(end_ns)) {
      this.#timers.delete(next);
      this.#now_ns = next.due_ns;
      next.fn();
    }
    this.#now_ns = end_ns;
  }

  #next(end_ns: bigint): { readonly due_ns: bigint; readonly fn: () => void } | null {
    const due = [...this.#timers].filter((timer) => timer.due_ns <= end_ns);
    return due.sort((a, b) => (a.due_ns < b.due_ns ? -1 : 1))[0] ?? null;
  }
}
