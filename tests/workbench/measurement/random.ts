/** Small seeded generator (mulberry32, public domain algorithm) with the draws the studies need. */
export class Random {
  #state: number;
  #spare: number | null = null;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** Uniform in [0, 1). */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) | 0;
    let z = this.#state;
    z = Math.imul(z ^ (z >>> 15), z | 1);
    z ^= z + Math.imul(z ^ (z >>> 7), z | 61);
    return ((z ^ (z >>> 14)) >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** Evenly spread by ratio. */
  scale(low: number, high: number): number {
    return low * (high / low) ** this.next();
  }

  pick<T>(items: readonly T[]): T {
    return items[Math.floor(this.next() * items.length)] as T;
  }

  /** Standard normal, Marsaglia's polar method. */
  normal(): number {
    if (this.#spare !== null) {
      const value = this.#spare;
      this.#spare = null;
      return value;
    }
    for (;;) {
      const x = 2 * this.next() - 1;
      const y = 2 * this.next() - 1;
      const s = x * x + y * y;
      if (s === 0 || s >= 1) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      this.#spare = y * factor;
      return x * factor;
    }
  }
}
