import type { Element, Node, Stamp } from "./network.js";

/** Open circuit as a resistance: well above what any meter can tell from open. */
export const OPEN_OHM = 1e11;

/** A resistance that may be changed between steps (a contact, a switch, a wire). */
export class Resistor implements Element {
  constructor(
    public a: Node,
    public b: Node,
    public ohm: number,
  ) {}

  /** Current from a to b in the last step, ampere. */
  ampere = 0;

  stamp(stamp: Stamp): void {
    stamp.conductance(this.a, this.b, 1 / this.ohm);
  }

  accept(voltage: (node: Node) => number): void {
    this.ampere = (voltage(this.a) - voltage(this.b)) / this.ohm;
  }
}

/** A source with internal resistance (Thévenin), plus at `plus`. */
export class Source implements Element {
  constructor(
    readonly plus: Node,
    readonly minus: Node,
    public volt: number,
    public ohm: number,
  ) {}

  /** Current delivered in the last step, ampere. */
  ampere = 0;

  stamp(stamp: Stamp): void {
    stamp.conductance(this.plus, this.minus, 1 / this.ohm);
    stamp.current(this.minus, this.plus, this.volt / this.ohm);
  }

  accept(voltage: (node: Node) => number): void {
    this.ampere = (this.volt - voltage(this.plus) + voltage(this.minus)) / this.ohm;
  }
}

/** A capacitor with series resistance, by backward Euler: stable at any step. */
export class Capacitor implements Element {
  constructor(
    readonly a: Node,
    readonly b: Node,
    public farad: number,
    public series_ohm: number,
    public volt = 0,
  ) {}

  stamp(stamp: Stamp, dt_s: number): void {
    // Backward Euler on C behind R: i = (v − u) / (R + dt/C), u the stored voltage.
    const siemens = 1 / (this.series_ohm + dt_s / this.farad);
    stamp.conductance(this.a, this.b, siemens);
    stamp.current(this.b, this.a, siemens * this.volt);
  }

  accept(voltage: (node: Node) => number, dt_s: number): void {
    const siemens = 1 / (this.series_ohm + dt_s / this.farad);
    const ampere = siemens * (voltage(this.a) - voltage(this.b) - this.volt);
    this.volt += (ampere * dt_s) / this.farad;
  }
}
