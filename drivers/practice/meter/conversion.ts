/** Longest stretch that one conversion averages over, seconds. */
const LONGEST_WINDOW_S = 0.2;

/** One conversion of the meter: averages the input over the last part of the interval. */
export class Conversion {
  #elapsed_s = 0;
  #weight_s = 0;
  #sum = 0;
  #squares = 0;
  #last = 0;

  constructor(private readonly interval_s: number) {}

  take(volt: number, dt_s: number): void {
    this.#last = volt;
    this.#elapsed_s += dt_s;
    if (this.#elapsed_s < this.interval_s - LONGEST_WINDOW_S) return;
    this.#weight_s += dt_s;
    this.#sum += volt * dt_s;
    this.#squares += volt * volt * dt_s;
  }

  restart(): void {
    this.#elapsed_s = this.#weight_s = this.#sum = this.#squares = 0;
  }

  /** Mean voltage, volts; right after a restart the momentary one. */
  get mean(): number {
    return this.#weight_s > 0 ? this.#sum / this.#weight_s : this.#last;
  }

  /** Root mean square of what alternates about the mean, volts. */
  get alternating(): number {
    if (this.#weight_s === 0) return 0;
    return Math.sqrt(Math.max(0, this.#squares / this.#weight_s - this.mean ** 2));
  }
}
