/** Longest stretch that one conversion averages over, seconds. */
const LONGEST_WINDOW_S = 0.2;
/** Time constant of each of the two stages that smooth an AC reading, seconds. Typical. */
const SMOOTHING_S = 0.08;

/** Two lags one behind the other: what the averaging of an AC converter comes to. */
class Smoothing {
  #first = 0;
  value = 0;

  take(input: number, dt_s: number): void {
    const share = -Math.expm1(-dt_s / SMOOTHING_S);
    this.#first += share * (input - this.#first);
    this.value += share * (this.#first - this.value);
  }
}

/**
 * What the meter makes of its input: for DC the mean over the last part of each interval, for AC
 * the root mean square of what alternates, smoothed as its converter does.
 */
export class Conversion {
  #elapsed_s = 0;
  #weight_s = 0;
  #sum = 0;
  #last = 0;
  readonly #level = new Smoothing();
  readonly #square = new Smoothing();

  constructor(private readonly interval_s: number) {}

  take(volt: number, dt_s: number): void {
    this.#last = volt;
    this.#level.take(volt, dt_s);
    this.#square.take(volt * volt, dt_s);
    this.#elapsed_s += dt_s;
    if (this.#elapsed_s < this.interval_s - LONGEST_WINDOW_S) return;
    this.#weight_s += dt_s;
    this.#sum += volt * dt_s;
  }

  restart(): void {
    this.#elapsed_s = this.#weight_s = this.#sum = 0;
  }

  /** Mean voltage, volts; right after a restart the momentary one. */
  get mean(): number {
    return this.#weight_s > 0 ? this.#sum / this.#weight_s : this.#last;
  }

  /** Root mean square of what alternates about the mean, volts. */
  get alternating(): number {
    return Math.sqrt(Math.max(0, this.#square.value - this.#level.value ** 2));
  }
}
