import type { Chance } from "../random.js";
import type { MeterInput } from "./input.js";

/** Slow drift of what open leads pick up: into 10 MΩ some tens of millivolts. Typical, invented. */
const DRIFT_A = [1e-9, 2.5e-9] as const;
const DRIFT_TAU_S = 2.5;
/** Hum of the mains in the room, into the same open leads. */
const HUM_A = 40e-9;
const HUM_Hz = 50;

/** The stray field of the room. On anything but open leads it comes to nothing. */
export class Stray {
  #drift_A = 0;
  #time_s = 0;
  readonly #spread_A: number;

  constructor(
    private readonly input: MeterInput,
    private readonly chance: Chance,
  ) {
    this.#spread_A = chance.between(...DRIFT_A);
  }

  advance(dt_s: number): void {
    this.#time_s += dt_s;
    const kept = Math.exp(-dt_s / DRIFT_TAU_S);
    this.#drift_A =
      kept * this.#drift_A + this.#spread_A * Math.sqrt(1 - kept * kept) * this.chance.normal();
    this.input.stray_A =
      this.#drift_A + HUM_A * Math.SQRT2 * Math.sin(2 * Math.PI * HUM_Hz * this.#time_s);
  }
}
