import { Matrix, inverse } from "ml-matrix";

/** A conductor between two nodes; `volt` pushes current out at `a` and back in at `b`. */
export interface Branch {
  readonly a: number;
  readonly b: number;
  /** Ohms, above zero. */
  readonly ohm: number;
  /** Volts of the source in series; 0 for a plain resistor. */
  readonly volt: number;
}

/** A current drawn from `a` and returned at `b`, whatever the voltage, amperes. */
export interface Sink {
  readonly a: number;
  readonly b: number;
  readonly ampere: number;
}

/** What an isolated node leaks to earth, siemens: gives a floating part of the tool a potential. */
const LEAK_S = 1e-10;

/**
 * A linear network solved by nodal analysis: G·v = i, with one leak per node so that floating
 * islands have a solution. Everything else is read from the inverse.
 */
export class Network {
  /** Node voltages against earth, volts. */
  readonly voltages: readonly number[];
  private readonly transfer: Matrix;

  constructor(nodes: number, branches: readonly Branch[], sinks: readonly Sink[] = []) {
    const conductance = Matrix.eye(nodes, nodes).mul(LEAK_S);
    const injected = new Array<number>(nodes).fill(0);
    for (const { a, b, ohm, volt } of branches) {
      const g = 1 / ohm;
      stamp(conductance, a, a, g);
      stamp(conductance, b, b, g);
      stamp(conductance, a, b, -g);
      stamp(conductance, b, a, -g);
      inject(injected, a, b, volt * g);
    }
    for (const { a, b, ampere } of sinks) inject(injected, a, b, -ampere);
    earthOne(conductance);
    this.transfer = inverse(conductance);
    this.voltages = this.transfer.mmul(Matrix.columnVector(injected)).to1DArray();
  }

  /** Open-circuit voltage from `p` to `q`, volts. */
  voltage(p: number, q: number): number {
    return (this.voltages[p] ?? 0) - (this.voltages[q] ?? 0);
  }

  /** Resistance seen between `p` and `q` with all sources dead (Thévenin), ohms. */
  resistance(p: number, q: number): number {
    return this.transferResistance(p, q, p, q);
  }

  /** Voltage from `p` to `q` for one ampere pushed in at `a` and out at `b`, ohms. */
  transferResistance(p: number, q: number, a: number, b: number): number {
    const z = this.transfer;
    return z.get(p, a) - z.get(p, b) - z.get(q, a) + z.get(q, b);
  }
}

/**
 * Earths the best connected node firmly. No current can flow there, as there is no other way back
 * than the leaks, but the potentials become small numbers and their differences exact.
 */
function earthOne(conductance: Matrix): void {
  const own = conductance.diagonal();
  const best = own.reduce((most, g, node) => (g > (own[most] ?? 0) ? node : most), 0);
  stamp(conductance, best, best, Math.max(1, own[best] ?? 0));
}

function stamp(matrix: Matrix, row: number, column: number, g: number): void {
  matrix.set(row, column, matrix.get(row, column) + g);
}

function inject(into: number[], a: number, b: number, ampere: number): void {
  into[a] = (into[a] ?? 0) + ampere;
  into[b] = (into[b] ?? 0) - ampere;
}
