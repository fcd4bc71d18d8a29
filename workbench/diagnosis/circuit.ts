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

/** What is different from the circuit as it was built. */
export interface Change {
  readonly branch: number;
  readonly ohm: number;
  readonly volt: number;
  /** Current drawn from a and returned at b beside the branch, amperes. */
  readonly sink_A: number;
}

/** One place of every island is earthed through so much, siemens; no current can flow there. */
const EARTH_S = 1;
/** Resistance between two islands that nothing connects, ohms. */
const NOTHING_OHM = 1e11;

/**
 * A linear circuit by modified nodal analysis (Ho, Ruehli, Brennan 1975): node voltages and branch
 * currents are unknowns, so a fault changes one number on the diagonal. The inverse is computed
 * once; each set of faults is then a small correction of it (Woodbury identity) instead of a new
 * solution. Opening a branch this way loses no digits, because the correction never subtracts
 * nearly equal numbers; two opens in one loop keep about seven.
 */
export class Circuit {
  readonly islands: readonly number[];
  private readonly size: number;
  private readonly inverse: Float64Array;
  private readonly solution: Float64Array;

  constructor(
    readonly nodes: number,
    readonly branches: readonly Branch[],
  ) {
    this.size = nodes + branches.length;
    this.islands = islandsOf(nodes, branches);
    const system = new Matrix(this.size, this.size);
    this.islands.forEach((island, node) => {
      if (island === node) system.set(node, node, EARTH_S);
    });
    const push = new Array<number>(this.size).fill(0);
    branches.forEach(({ a, b, ohm, volt }, index) => {
      const row = nodes + index;
      for (const [node, sign] of [
        [a, 1],
        [b, -1],
      ] as const) {
        system.set(node, row, system.get(node, row) + sign);
        system.set(row, node, system.get(row, node) + sign);
      }
      system.set(row, row, -ohm);
      push[row] = volt;
    });
    const inverted = inverse(system);
    this.inverse = Float64Array.from(inverted.to1DArray());
    this.solution = Float64Array.from(inverted.mmul(Matrix.columnVector(push)).to1DArray());
  }

  with(changes: readonly Change[]): Solution {
    const ports = changes.map((change) => this.nodes + change.branch);
    const deltas = changes.map(({ branch, ohm }) => (this.branches[branch]?.ohm ?? 0) - ohm);
    const correction = invertSmall(ports, deltas, (i, j) => this.at(i, j));
    return new Solution(this, changes, ports, correction);
  }

  /** Unknown i with the changed sources, resistances still as built. */
  shifted(i: number, changes: readonly Change[]): number {
    let x = this.solution[i] ?? 0;
    for (const { branch, volt, sink_A } of changes) {
      const old = this.branches[branch];
      if (old === undefined) continue;
      x += this.at(i, this.nodes + branch) * (volt - old.volt);
      if (sink_A !== 0) x -= (this.at(i, old.a) - this.at(i, old.b)) * sink_A;
    }
    return x;
  }

  /** Row of the inverse for the voltage from p to q, before any change. */
  row(p: number, q: number): Float64Array {
    const row = new Float64Array(this.size);
    for (let i = 0; i < this.size; i += 1) row[i] = this.at(p, i) - this.at(q, i);
    return row;
  }

  at(i: number, j: number): number {
    return this.inverse[i * this.size + j] ?? 0;
  }
}

/** A circuit with its changes. Cheap to make, and cheap to ask for one pair of points. */
export class Solution {
  /** What the changed resistances take from each port. */
  private readonly amounts: readonly number[];

  constructor(
    private readonly circuit: Circuit,
    private readonly changes: readonly Change[],
    private readonly ports: readonly number[],
    private readonly correction: readonly (readonly number[])[],
  ) {
    const atPorts = ports.map((port) => circuit.shifted(port, changes));
    this.amounts = correction.map((row) => dot(row, atPorts));
  }

  /** Current through a branch from its a to its b, amperes; from b to a counts negative. */
  current(branch: number): number {
    return this.unknown(this.circuit.nodes + branch);
  }

  /** Open-circuit voltage from p to q, volts; nothing between islands. */
  voltage(p: number, q: number): number {
    return this.connects(p, q) ? this.unknown(p) - this.unknown(q) : 0;
  }

  private unknown(i: number): number {
    let x = this.circuit.shifted(i, this.changes);
    this.ports.forEach((port, k) => (x -= this.circuit.at(i, port) * (this.amounts[k] ?? 0)));
    return x;
  }

  connects(p: number, q: number): boolean {
    return this.circuit.islands[p] === this.circuit.islands[q];
  }

  /**
   * How the voltage from p to q answers: entry n for one ampere pushed into node n, entry
   * `nodes` + k for one volt in series with branch k.
   */
  response(p: number, q: number): Float64Array {
    const row = this.circuit.row(p, q);
    const atPorts = this.ports.map((port) => row[port] ?? 0);
    this.ports.forEach((port, k) => {
      const amount = dot(this.correction[k] ?? [], atPorts);
      if (amount === 0) return;
      for (let i = 0; i < row.length; i += 1) {
        row[i] = (row[i] ?? 0) - amount * this.circuit.at(port, i);
      }
    });
    return row;
  }

  /** Resistance seen between p and q with all sources dead (Thévenin), ohms. */
  resistance(p: number, q: number, response = this.response(p, q)): number {
    if (!this.connects(p, q)) return NOTHING_OHM;
    return (response[p] ?? 0) - (response[q] ?? 0);
  }
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += (a[i] ?? 0) * (b[i] ?? 0);
  return sum;
}

/** (D⁻¹ + B)⁻¹ for the few changed branches, by Gauss-Jordan; a change of nothing gives zeros. */
function invertSmall(
  ports: readonly number[],
  deltas: readonly number[],
  at: (i: number, j: number) => number,
): number[][] {
  const live = deltas.flatMap((delta, k) => (delta === 0 ? [] : [k]));
  const out = ports.map(() => ports.map(() => 0));
  if (live.length === 0) return out;
  const rows = live.map((k) =>
    live.map((l) => at(ports[k] ?? 0, ports[l] ?? 0) + (k === l ? 1 / (deltas[k] ?? 1) : 0)),
  );
  const inverted = gaussJordan(rows);
  live.forEach((k, i) => {
    live.forEach((l, j) => {
      const target = out[k];
      if (target !== undefined) target[l] = inverted[i]?.[j] ?? 0;
    });
  });
  return out;
}

/** Inverse of a few rows, with partial pivoting; a general library's set-up costs more than the sum. */
function gaussJordan(rows: readonly (readonly number[])[]): number[][] {
  const { length } = rows;
  const work = rows.map((row, i) => [...row, ...rows.map((_, j) => (i === j ? 1 : 0))]);
  for (let column = 0; column < length; column += 1) {
    let top = column;
    for (let i = column + 1; i < length; i += 1) {
      if (size(work[i]?.[column]) > size(work[top]?.[column])) top = i;
    }
    const pivot = work[top] ?? [];
    work[top] = work[column] ?? [];
    const own = pivot[column] ?? 1;
    work[column] = pivot.map((entry) => entry / own);
    for (let i = 0; i < length; i += 1) {
      if (i !== column) subtract(work[i] ?? [], work[column] ?? [], work[i]?.[column] ?? 0);
    }
  }
  return work.map((row) => row.slice(length));
}

function size(entry: number | undefined): number {
  return Math.abs(entry ?? 0);
}

function subtract(row: number[], other: readonly number[], times: number): void {
  for (let j = 0; j < row.length; j += 1) row[j] = (row[j] ?? 0) - times * (other[j] ?? 0);
}

/** Per node the lowest node that it is connected to. */
function islandsOf(nodes: number, branches: readonly Branch[]): number[] {
  const island = Array.from({ length: nodes }, (_, node) => node);
  for (let changed = true; changed;) {
    changed = false;
    for (const { a, b } of branches) {
      const low = Math.min(island[a] ?? a, island[b] ?? b);
      if (island[a] !== low || island[b] !== low) changed = true;
      island[a] = low;
      island[b] = low;
    }
  }
  return island;
}
