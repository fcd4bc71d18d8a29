import type { Element, Node, Stamp } from "./network.js";

/** One resistance-capacitance pair of the relaxation, by resistance and time constant. */
export interface Relaxation {
  readonly ohm: number;
  readonly tau_s: number;
}

export interface PackData {
  readonly cells: number;
  /** Capacity, ampere hours. */
  readonly capacity_Ah: number;
  /** Of the whole pack. */
  readonly internal_ohm: number;
  readonly relaxation: readonly Relaxation[];
}

/**
 * Open-circuit voltage of one lithium-ion cell over state of charge, volts at 0, 10, … 100 %.
 * Typical shape of the chemistry, from memory, invented to the digit.
 */
const CELL_VOLT = [3.0, 3.43, 3.54, 3.61, 3.66, 3.72, 3.8, 3.9, 4.0, 4.09, 4.18];

/** Open-circuit voltage of one cell, volts; `charge` is the state of charge, 0 to 1. */
export function cellVolt(charge: number): number {
  const at = Math.min(Math.max(charge, 0), 1) * (CELL_VOLT.length - 1);
  const below = Math.min(Math.floor(at), CELL_VOLT.length - 2);
  const low = CELL_VOLT[below] ?? 0;
  return low + ((CELL_VOLT[below + 1] ?? low) - low) * (at - below);
}

/**
 * A battery: open-circuit voltage by state of charge behind an internal resistance and relaxation
 * pairs in series. Each pair is advanced by the exact exponential for the current of the step, so
 * that any step is stable and a constant current is followed without error.
 */
export class Pack implements Element {
  readonly #pairs: { ohm: number; tau_s: number; volt: number }[];
  /** Current delivered in the last step, ampere. */
  ampere = 0;

  constructor(
    readonly plus: Node,
    readonly minus: Node,
    readonly data: PackData,
    /** State of charge, 0 to 1. */
    public charge: number,
    public internal_ohm = data.internal_ohm,
  ) {
    this.#pairs = data.relaxation.map((pair) => ({ ...pair, volt: 0 }));
  }

  get openCircuit_volt(): number {
    return cellVolt(this.charge) * this.data.cells;
  }

  stamp(stamp: Stamp, dt_s: number): void {
    const { volt, ohm } = this.#equivalent(dt_s);
    stamp.conductance(this.plus, this.minus, 1 / ohm);
    stamp.current(this.minus, this.plus, volt / ohm);
  }

  accept(voltage: (node: Node) => number, dt_s: number): void {
    const { volt, ohm } = this.#equivalent(dt_s);
    this.ampere = (volt - voltage(this.plus) + voltage(this.minus)) / ohm;
    for (const pair of this.#pairs) {
      const kept = Math.exp(-dt_s / pair.tau_s);
      pair.volt = kept * pair.volt + pair.ohm * (1 - kept) * this.ampere;
    }
    this.charge -= (this.ampere * dt_s) / (3600 * this.data.capacity_Ah);
    this.charge = Math.min(Math.max(this.charge, 0), 1);
  }

  /** What the pack looks like from outside during one step. */
  #equivalent(dt_s: number): { volt: number; ohm: number } {
    let volt = this.openCircuit_volt;
    let ohm = this.internal_ohm;
    for (const pair of this.#pairs) {
      const kept = Math.exp(-dt_s / pair.tau_s);
      volt -= kept * pair.volt;
      ohm += pair.ohm * (1 - kept);
    }
    return { volt, ohm };
  }
}
