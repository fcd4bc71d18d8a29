import { Matrix, QrDecomposition, SingularValueDecomposition } from "ml-matrix";

export interface NonlinearProblem {
  /** Residuals (observed − model) at the parameters. */
  readonly residuals: (parameters: readonly number[]) => Float64Array;
  readonly start: readonly number[];
  readonly iterations?: number;
  /**
   * Stop where a full step would lower the sum of squares by no more than this many residual
   * variances: by then it is small against the standard uncertainties. 0: go on to the last digit.
   */
  readonly negligible?: number;
}

export interface NonlinearFit {
  readonly parameters: readonly number[];
  readonly covariance: Matrix;
  /** Of the model at the parameters, a row for each residual. */
  readonly jacobian: Matrix;
  readonly residualSumOfSquares: number;
  readonly dof: number;
  readonly iterations: number;
  readonly converged: boolean;
}

/**
 * Least squares of a model that is not linear in its parameters, by Levenberg and Marquardt's
 * method: columns scaled by the largest norm seen, damping after Nielsen, each step by QR of the
 * augmented Jacobian (never the normal equations), derivatives by central differences with one
 * Richardson step. Digits reached on NIST's certified problems are in the tests. null where the
 * residuals at the start are not finite.
 */
export function nonlinearFit(problem: NonlinearProblem): NonlinearFit | null {
  const search = new Search(problem);
  if (!Number.isFinite(search.cost)) return null;
  const limit = problem.iterations ?? 500;
  let n = 0;
  while (n < limit && !search.converged) {
    search.step();
    n++;
  }
  return search.result(n);
}

class Search {
  cost: number;
  converged = false;

  readonly #residuals: NonlinearProblem["residuals"];
  readonly #negligible: number;
  #parameters: number[];
  #r: Float64Array;
  #jacobian: Matrix;
  #scales: number[];
  #damping = 1e-3;
  #growth = 2;
  #idle = 0;

  constructor({ residuals, start, negligible = 0 }: NonlinearProblem) {
    this.#residuals = residuals;
    this.#negligible = negligible;
    this.#parameters = [...start];
    this.#r = residuals(start);
    this.cost = squares(this.#r);
    this.#jacobian = this.#derive();
    this.#scales = start.map(() => 0);
    this.#rescale();
  }

  step(): void {
    const move = shortened(this.#solve(), this.#parameters);
    const next = this.#parameters.map((p, j) => p + (move[j] as number));
    const r = this.#residuals(next);
    const cost = squares(r);
    const predicted = this.cost - squares(linearised(this.#r, this.#jacobian, move));
    const gain = predicted > 0 ? (this.cost - cost) / predicted : -1;
    const small = move.every((d, j) => Math.abs(d) <= 1e-13 * Math.abs(next[j] as number) + 1e-300);
    if (Number.isFinite(cost) && cost < this.cost && gain > 0) {
      this.#accept(next, r, cost, gain);
    } else {
      this.#damping *= this.#growth;
      this.#growth *= 2;
      this.#idle += 1;
    }
    const worth = this.#negligible * (cost / Math.max(1, r.length - move.length));
    const enough = this.#damping < 1 && predicted >= 0 && predicted < worth;
    this.converged = small || enough || this.#idle > 60;
  }

  #accept(next: number[], r: Float64Array, cost: number, gain: number): void {
    this.#parameters = next;
    this.#r = r;
    this.cost = cost;
    this.#jacobian = this.#derive();
    this.#rescale();
    this.#damping *= Math.max(1 / 3, 1 - (2 * Math.min(gain, 1) - 1) ** 3);
    this.#growth = 2;
    this.#idle = 0;
  }

  /** Solves [J; √λ·D]·d = [r; 0] for the step d. */
  #solve(): number[] {
    const [n, p] = [this.#jacobian.rows, this.#jacobian.columns];
    const augmented = Matrix.zeros(n + p, p);
    const right = Matrix.zeros(n + p, 1);
    for (let i = 0; i < n; i++) {
      right.set(i, 0, this.#r[i] as number);
      for (let j = 0; j < p; j++) augmented.set(i, j, this.#jacobian.get(i, j) / this.#scale(j));
    }
    for (let j = 0; j < p; j++) augmented.set(n + j, j, Math.sqrt(this.#damping));
    const scaled = new QrDecomposition(augmented).solve(right).to1DArray();
    return scaled.map((d, j) => d / this.#scale(j));
  }

  #scale(j: number): number {
    return this.#scales[j] as number;
  }

  #rescale(): void {
    this.#scales = this.#scales.map((scale, j) => {
      const now = Math.sqrt(squares(this.#jacobian.getColumn(j)));
      return Math.max(scale, now) || 1;
    });
  }

  /** −∂r/∂p: the derivative of the model. */
  #derive(): Matrix {
    const columns = this.#parameters.map((_, j) => this.#slope(j));
    return new Matrix(columns).transpose();
  }

  #slope(j: number): number[] {
    const h = 1e-3 * Math.max(Math.abs(this.#parameters[j] as number), 1e-4);
    const wide = this.#difference(j, h);
    // Where the last digit does not matter, plain central differences do.
    if (this.#negligible > 0) return wide;
    const close = this.#difference(j, h / 2);
    return close.map((c, i) => (4 * c - (wide[i] as number)) / 3);
  }

  #difference(j: number, h: number): number[] {
    const at = (shift: number): Float64Array =>
      this.#residuals(this.#parameters.map((p, k) => (k === j ? p + shift : p)));
    const [below, above] = [at(-h), at(h)];
    return Array.from(below, (b, i) => (b - (above[i] as number)) / (2 * h));
  }

  result(iterations: number): NonlinearFit {
    const dof = this.#r.length - this.#parameters.length;
    const scaled = this.#jacobian.clone();
    this.#scales.forEach((s, j) => scaled.mulColumn(j, 1 / s));
    const gram = pseudoGram(scaled);
    const variance = dof > 0 ? this.cost / dof : 0;
    const unscale = Matrix.diag(this.#scales.map((s) => 1 / s));
    return {
      parameters: this.#parameters,
      covariance: unscale.mmul(gram).mmul(unscale).mul(variance),
      jacobian: this.#jacobian,
      residualSumOfSquares: this.cost,
      dof,
      iterations,
      converged: this.converged,
    };
  }
}

/**
 * The step, each parameter held to five times its size: far from the solution a full step may land
 * where the model is flat, and nothing leads back from there (NIST's BoxBOD from its first start).
 */
function shortened(move: readonly number[], parameters: readonly number[]): number[] {
  return move.map((d, j) => {
    const most = 5 * Math.abs(parameters[j] as number);
    return most > 0 ? Math.max(-most, Math.min(most, d)) : d;
  });
}

/** (JᵀJ)⁻¹ by the singular values; infinite where the columns cannot be told apart. */
function pseudoGram(jacobian: Matrix): Matrix {
  // Of R in place of J: the same singular values, and no work that grows with the readings.
  const r = new QrDecomposition(jacobian).upperTriangularMatrix;
  const svd = new SingularValueDecomposition(r, { autoTranspose: true });
  const v = svd.rightSingularVectors;
  const largest = Math.max(...svd.diagonal);
  const weights = svd.diagonal.map((s) => (s > 1e-14 * largest ? 1 / (s * s) : 1e28));
  return v.mmul(Matrix.diag(weights)).mmul(v.transpose());
}

function squares(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i] as number) ** 2;
  return sum;
}

function linearised(r: Float64Array, jacobian: Matrix, move: readonly number[]): Float64Array {
  const change = jacobian.mmul(Matrix.columnVector([...move]));
  return r.map((value, i) => value - change.get(i, 0));
}
