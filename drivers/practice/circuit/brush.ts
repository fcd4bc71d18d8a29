import type { Element, Node, Stamp } from "./network.js";

/** Two carbon brushes in series: a drop that hardly depends on the current once it flows. */
export interface BrushData {
  /** Drop of both at working current, volts. */
  readonly drop_volt: number;
  /** Current at which half of the drop is reached, ampere. */
  readonly knee_A: number;
}

/**
 * Contact of the brushes: R(i) = drop / (|i| + knee), a film resistance at the tiny current of an
 * ohmmeter and a constant drop at work. The current of the step before is used, which the inductance
 * of the winding behind it justifies.
 */
export class Brushes implements Element {
  ampere = 0;
  /** Added by wear: at this moment, ohms. */
  extra_ohm = 0;

  constructor(
    readonly a: Node,
    readonly b: Node,
    readonly data: BrushData,
  ) {}

  get #ohm(): number {
    return this.data.drop_volt / (Math.abs(this.ampere) + this.data.knee_A) + this.extra_ohm;
  }

  stamp(stamp: Stamp): void {
    stamp.conductance(this.a, this.b, 1 / this.#ohm);
  }

  accept(voltage: (node: Node) => number): void {
    this.ampere = (voltage(this.a) - voltage(this.b)) / this.#ohm;
  }
}
