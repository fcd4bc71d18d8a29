import type { Clock } from "../../drivers/clock.js";

/** Time that stands still until a test moves it; timers fire in order, each at its own time. */
export class ManualClock implements Clock {
  #now_ns = 0n;
  #timers: { at_ns: bigint; order: number; fn: () => void }[] = [];
  #order = 0;

  now_ns(): bigint {
    return this.#now_ns;
  }

  after(delay_ms: number, fn: () => void): () => void {
    const at_ns = this.#now_ns + BigInt(Math.round(delay_ms * 1e6));
    const timer = { at_ns, order: this.#order++, fn };
    this.#timers.push(timer);
    return () => {
      this.#timers = this.#timers.filter((each) => each !== timer);
    };
  }

  /** Moves on, firing what falls due and letting promises settle after each. */
  async advance(ms: number): Promise<void> {
    const end_ns = this.#now_ns + BigInt(Math.round(ms * 1e6));
    await settle();
    for (let next = this.#due(end_ns); next !== undefined; next = this.#due(end_ns)) {
      this.#now_ns = next.at_ns > this.#now_ns ? next.at_ns : this.#now_ns;
      this.#timers = this.#timers.filter((each) => each !== next);
      next.fn();
      await settle();
    }
    this.#now_ns = end_ns;
  }

  /** Time that passes while nothing can run, as when the process was stopped. */
  jump(ms: number): void {
    this.#now_ns += BigInt(Math.round(ms * 1e6));
  }

  #due(end_ns: bigint): { at_ns: bigint; fn: () => void } | undefined {
    return this.#timers
      .filter((timer) => timer.at_ns <= end_ns)
      .sort((a, b) => (a.at_ns === b.at_ns ? a.order - b.order : a.at_ns < b.at_ns ? -1 : 1))[0];
  }
}

/** Lets everything run that waits for promises alone. */
export async function settle(): Promise<void> {
  for (let turn = 0; turn < 20; turn += 1) await Promise.resolve();
}
