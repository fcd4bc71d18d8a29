import type { Element, Node, Stamp } from "./network.js";

/** Emission coefficient times thermal voltage at room temperature, volts. */
const SLOPE_V = 0.045;
/** Such that one milliampere flows at half a volt, the usual reading of a power transistor. */
const SATURATION_A = 1e-3 / Math.expm1(0.5 / SLOPE_V);
/** How far the point of linearisation may move up in one step, volts. */
const STRIDE_V = 0.05;
const HIGHEST_V = 1.1;

/**
 * A silicon junction by Shockley's equation, made linear anew about the voltage of the step
 * before: one step of Newton's method each, which settles within a few milliseconds of bench time.
 */
export class Diode implements Element {
  #volt = 0;

  constructor(
    readonly anode: Node,
    readonly cathode: Node,
    /** Blown open. */
    public open = false,
  ) {}

  stamp(stamp: Stamp): void {
    if (this.open) return;
    const siemens = (SATURATION_A / SLOPE_V) * Math.exp(this.#volt / SLOPE_V);
    const ampere = SATURATION_A * Math.expm1(this.#volt / SLOPE_V);
    stamp.conductance(this.anode, this.cathode, siemens);
    stamp.current(this.anode, this.cathode, ampere - siemens * this.#volt);
  }

  accept(voltage: (node: Node) => number): void {
    const volt = voltage(this.anode) - voltage(this.cathode);
    this.#volt = Math.min(volt, this.#volt + STRIDE_V, HIGHEST_V);
  }
}
