/** Time constant of the soft start, seconds, and where it starts, ohms. Typical, invented. */
const SOFT_S = 0.06;
const SOFT_OHM = 1.5;

/** Resistance of power electronics that come on softly. */
export class SoftGate {
  #on_s = 0;

  /** Resistance for the next step, ohms. */
  ohm(on: boolean, on_ohm: number, off_ohm: number, dt_s: number): number {
    this.#on_s = on ? this.#on_s + dt_s : 0;
    if (!on) return off_ohm;
    return Math.min(off_ohm, on_ohm + SOFT_OHM * Math.exp(-this.#on_s / SOFT_S));
  }
}
