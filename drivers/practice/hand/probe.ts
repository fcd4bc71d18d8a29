import { OPEN_OHM } from "../circuit/elements.js";
import type { Resistor } from "../circuit/elements.js";
import type { Node } from "../circuit/network.js";
import type { Chance } from "../random.js";

/** How a probe comes to lie on its point. */
export interface Touch {
  /** The tip springs for so long, seconds. */
  readonly bounce_s: number;
  /** It rubs, with gaps, for so long, seconds; then the person presses harder. */
  readonly rub_s: number;
}

/** Resistance of a pressed tip, ohms, and how much the pressure of the hand moves it. */
const PRESSED_OHM = 0.04;
const PRESSURE_SHARE = 0.15;
/** Lead and socket, ohms. */
const LEAD_OHM = 0.05;

/** One probe: lifted, springing, rubbing or pressed, as a resistance in the network. */
export class Probe {
  #touched_s = Number.POSITIVE_INFINITY;
  #touch: Touch = { bounce_s: 0, rub_s: 0 };
  #closed = false;
  #change_s = 0;
  #on = false;

  /** `contact` runs from the socket of the meter to what the tip touches. */
  constructor(
    private readonly contact: Resistor,
    private readonly chance: Chance,
  ) {
    contact.ohm = OPEN_OHM;
  }

  /** Still springing or rubbing: short steps are needed. */
  get lively(): boolean {
    return this.#on && this.#touched_s < this.#touch.bounce_s + this.#touch.rub_s;
  }

  put(node: Node, touch: Touch): void {
    this.contact.b = node;
    this.#touch = touch;
    this.#touched_s = 0;
    this.#change_s = 0;
    this.#closed = false;
    this.#on = true;
  }

  lift(): void {
    this.#on = false;
    this.contact.ohm = OPEN_OHM;
  }

  advance(dt_s: number): void {
    if (!this.#on) return;
    this.#touched_s += dt_s;
    this.#closed = this.lively ? this.#flutter(dt_s) : true;
    const pressure = 1 + PRESSURE_SHARE * this.chance.normal();
    const ohm = LEAD_OHM + PRESSED_OHM * Math.max(0.2, pressure);
    this.contact.ohm = this.#closed ? ohm : OPEN_OHM;
  }

  /** Closed or open at this moment of a bad contact. */
  #flutter(dt_s: number): boolean {
    this.#change_s -= dt_s;
    if (this.#change_s > 0) return this.#closed;
    const bouncing = this.#touched_s < this.#touch.bounce_s;
    const closed = !this.#closed;
    this.#change_s = bouncing
      ? this.chance.between(0.002, 0.015)
      : this.chance.between(0.05, closed ? 0.4 : 0.15);
    return closed;
  }
}
