/** Index of a node; 0 is the reference (the bench top). */
export type Node = number;

/** What an element writes into the nodal equations G·v = i of one time step. */
export interface Stamp {
  /** A conductance between two nodes, siemens. */
  conductance(a: Node, b: Node, siemens: number): void;
  /** A current driven from `from` through the element into `to`, ampere. */
  current(from: Node, to: Node, ampere: number): void;
}

/**
 * One two-pole (or more) of the network, in the discrete-time form of one step: a conductance and
 * a current source that already contain its state (companion model). After the solution it takes
 * over its new state.
 */
export interface Element {
  stamp(stamp: Stamp, dt_s: number): void;
  accept(voltage: (node: Node) => number, dt_s: number): void;
}

/** Leakage of every node to the bench top: keeps parts that hang in the air solvable. */
const LEAKAGE_S = 1e-10;

/**
 * Nodal analysis with companion models, solved anew each step by symmetric elimination. The matrix
 * is symmetric and positive definite because every element is a conductance beside a current
 * source; no pivoting is needed. Sizes here are some twenty nodes.
 */
export class Network {
  #size = 0;
  #matrix = new Float64Array(0);
  #right = new Float64Array(0);
  #solution = new Float64Array(0);
  readonly #elements: Element[] = [];
  readonly #names = new Map<string, Node>();
  readonly voltage = (node: Node): number => (node === 0 ? 0 : (this.#solution[node - 1] ?? 0));

  /** The node of this name, made at first use. */
  node(name: string): Node {
    const known = this.#names.get(name);
    if (known !== undefined) return known;
    this.#size += 1;
    this.#names.set(name, this.#size);
    this.#matrix = new Float64Array(this.#size * this.#size);
    this.#right = new Float64Array(this.#size);
    const grown = new Float64Array(this.#size);
    grown.set(this.#solution);
    this.#solution = grown;
    return this.#size;
  }

  add<E extends Element>(element: E): E {
    this.#elements.push(element);
    return element;
  }

  /** Advances all elements by `dt_s`. */
  step(dt_s: number): void {
    this.#matrix.fill(0);
    this.#right.fill(0);
    for (let n = 0; n < this.#size; n += 1) this.#matrix[n * this.#size + n] = LEAKAGE_S;
    for (const element of this.#elements) element.stamp(this.#stamp, dt_s);
    solveSymmetric(this.#matrix, this.#right, this.#size);
    this.#solution.set(this.#right);
    for (const element of this.#elements) element.accept(this.voltage, dt_s);
  }

  readonly #stamp: Stamp = {
    conductance: (a, b, siemens) => {
      if (a === b) return;
      this.#addTo(a, a, siemens);
      this.#addTo(b, b, siemens);
      this.#addTo(a, b, -siemens);
      this.#addTo(b, a, -siemens);
    },
    current: (from, to, ampere) => {
      if (from > 0) this.#right[from - 1] = (this.#right[from - 1] ?? 0) - ampere;
      if (to > 0) this.#right[to - 1] = (this.#right[to - 1] ?? 0) + ampere;
    },
  };

  #addTo(row: Node, column: Node, siemens: number): void {
    if (row === 0 || column === 0) return;
    const at = (row - 1) * this.#size + column - 1;
    this.#matrix[at] = (this.#matrix[at] ?? 0) + siemens;
  }
}

/** Solves A·x = b in place (b becomes x) for symmetric positive definite A of order `n`. */
export function solveSymmetric(a: Float64Array, b: Float64Array, n: number): void {
  for (let k = 0; k < n; k += 1) {
    const pivot = a[k * n + k] ?? 1;
    for (let row = k + 1; row < n; row += 1) {
      const factor = (a[row * n + k] ?? 0) / pivot;
      if (factor === 0) continue;
      for (let column = k; column < n; column += 1) {
        a[row * n + column] = (a[row * n + column] ?? 0) - factor * (a[k * n + column] ?? 0);
      }
      b[row] = (b[row] ?? 0) - factor * (b[k] ?? 0);
    }
  }
  for (let row = n - 1; row >= 0; row -= 1) {
    let sum = b[row] ?? 0;
    for (let column = row + 1; column < n; column += 1) {
      sum -= (a[row * n + column] ?? 0) * (b[column] ?? 0);
    }
    b[row] = sum / (a[row * n + row] ?? 1);
  }
}
