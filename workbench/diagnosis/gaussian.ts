/** What readings say together of the next one. */
export interface Joint {
  readonly size: number;
  /** Inverse covariance, row by row. */
  readonly precision: Float64Array;
  /** Precision × residual. */
  readonly weights: Float64Array;
}

const LOG_TWO_PI = Math.log(2 * Math.PI);

/** A reading beside what was predicted, on its scale. */
export interface Entry {
  readonly residual: number;
  readonly loads: Loads;
  /** Standard deviation of what it shares with no other reading. */
  readonly noise: number;
}

/**
 * The joint density of readings that are put on a pile and taken off again: what many hypotheses
 * share stays on it and is computed once. It keeps the rows of the Cholesky factor of their
 * covariance and the residuals whitened by it. Plain arrays that are used again, because this is
 * the innermost loop of the reasoning; a test compares it with a general matrix library.
 */
export class Pile {
  private readonly entries: Entry[] = [];
  /** Row i of the factor in its first i + 1 places. */
  private readonly rows: Float64Array[] = [];
  private readonly whitened: number[] = [];
  /** Log density of the first n entries at place n. */
  private readonly logs: number[] = [0];
  private readonly inverse: Float64Array[] = [];
  /** Per reading: of the inverse covariance its own entry, and its row times the residuals. */
  private readonly precisions: number[] = [];
  private readonly weights: number[] = [];

  get size(): number {
    return this.entries.length;
  }

  get logDensity(): number {
    return this.logs[this.size] ?? 0;
  }

  cut(size: number): void {
    this.entries.length = size;
  }

  put(entry: Entry): void {
    const { size } = this;
    const row = (this.rows[size] ??= new Float64Array(size + 1));
    let own = entry.loads.own + entry.noise * entry.noise;
    let rest = entry.residual;
    for (let i = 0; i < size; i += 1) {
      const above = this.rows[i] ?? row;
      const other = this.entries[i] ?? entry;
      let sum = shared(entry.loads, other.loads);
      for (let j = 0; j < i; j += 1) sum -= (above[j] ?? 0) * (row[j] ?? 0);
      const value = sum / (above[i] ?? 1);
      row[i] = value;
      own -= value * value;
      rest -= value * (this.whitened[i] ?? 0);
    }
    const root = Math.sqrt(own);
    const white = rest / root;
    row[size] = root;
    this.whitened[size] = white;
    this.logs[size + 1] = this.logDensity - 0.5 * (white * white + LOG_TWO_PI) - Math.log(root);
    this.entries.push(entry);
  }

  /** Makes `alone` and `pair` ready for what is on the pile now. */
  solve(): void {
    const { size } = this;
    this.invert();
    for (let i = 0; i < size; i += 1) {
      let precision = 0;
      let weight = 0;
      for (let k = i; k < size; k += 1) {
        const entry = this.inverse[k]?.[i] ?? 0;
        precision += entry * entry;
        weight += entry * (this.whitened[k] ?? 0);
      }
      this.precisions[i] = precision;
      this.weights[i] = weight;
    }
  }

  /** Natural log of the density of reading i given all the others. */
  alone(i: number): number {
    const p = this.precisions[i] ?? 1;
    const w = this.weights[i] ?? 0;
    return -0.5 * ((w * w) / p + LOG_TWO_PI - Math.log(p));
  }

  /** Natural log of the density of readings i and j together, given all the others. */
  pair(i: number, j: number): number {
    const [pii, pjj, pij] = [this.precisions[i] ?? 1, this.precisions[j] ?? 1, this.mixed(i, j)];
    const [wi, wj] = [this.weights[i] ?? 0, this.weights[j] ?? 0];
    const determinant = pii * pjj - pij * pij;
    const square = (pjj * wi * wi - 2 * pij * wi * wj + pii * wj * wj) / determinant;
    return -0.5 * square + 0.5 * Math.log(determinant) - LOG_TWO_PI;
  }

  joint(): Joint {
    this.solve();
    const { size } = this;
    const precision = Float64Array.from({ length: size * size }, (_, at) =>
      this.mixed(Math.floor(at / size), at % size),
    );
    return { size, precision, weights: Float64Array.from(this.weights.slice(0, size)) };
  }

  /** Entry of the inverse covariance. */
  private mixed(i: number, j: number): number {
    let sum = 0;
    for (let k = Math.max(i, j); k < this.size; k += 1) {
      const row = this.inverse[k];
      sum += (row?.[i] ?? 0) * (row?.[j] ?? 0);
    }
    return sum;
  }

  /** Rows of the inverse of the factor. */
  private invert(): void {
    for (let i = 0; i < this.size; i += 1) {
      const row = this.rows[i] ?? new Float64Array(0);
      const made = (this.inverse[i] ??= new Float64Array(i + 1));
      const root = row[i] ?? 1;
      made.fill(0);
      for (let k = 0; k < i; k += 1) {
        const share = (row[k] ?? 0) / root;
        const above = this.inverse[k] ?? made;
        for (let j = 0; j <= k; j += 1) made[j] = (made[j] ?? 0) - share * (above[j] ?? 0);
      }
      made[i] = 1 / root;
    }
  }
}

/** How far a reading moves for one standard deviation of each unknown; most do not move it. */
export interface Loads {
  readonly all: Float64Array;
  /** Places of those that do. */
  readonly places: readonly number[];
  /** What they give together: a variance. */
  readonly own: number;
}

/** Less than this on the scale of a reading is far below the noise of any. */
const NOTHING = 1e-5;

export function loadsOf(all: Float64Array): Loads {
  const places = [...all.keys()].filter((k) => Math.abs(all[k] ?? 0) > NOTHING);
  return { all, places, own: places.reduce((sum, k) => sum + (all[k] ?? 0) ** 2, 0) };
}

/** Covariance that two readings owe to the unknowns that they share. */
export function shared(a: Loads, b: Loads): number {
  let sum = 0;
  for (const k of a.places) sum += (a.all[k] ?? 0) * (b.all[k] ?? 0);
  return sum;
}
