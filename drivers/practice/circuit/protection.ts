/** Figures of the protection of a pack; typical of the class, invented to the digit. */
const TRIP_A = 50;
const TRIP_DELAY_S = 1.2;
const SHORT_A = 160;
const RECOVER_S = 0.5;
/** Output voltage above which the load is taken to be gone, volts. */
const FREE_V = 3;

/**
 * The protection circuit of a lithium pack: switches the output off when the current stays too
 * high for too long, at once on a short, and on again when the load has been gone for a moment.
 */
export class Protection {
  #over_s = 0;
  #free_s = 0;
  #tripped = false;

  get tripped(): boolean {
    return this.#tripped;
  }

  /** After each step: the current delivered (ampere) and the voltage at the output. */
  watch(ampere: number, output_volt: number, dt_s: number): void {
    if (this.#tripped) {
      this.#free_s = output_volt > FREE_V ? this.#free_s + dt_s : 0;
      if (this.#free_s >= RECOVER_S) this.#tripped = false;
      return;
    }
    this.#free_s = 0;
    this.#over_s = ampere > TRIP_A ? this.#over_s + dt_s : 0;
    if (this.#over_s >= TRIP_DELAY_S || ampere > SHORT_A) {
      this.#tripped = true;
      this.#over_s = 0;
    }
  }
}
