import { CholeskyDecomposition, Matrix } from "ml-matrix";

/** Joint normal density of several readings, and what each looks like given all the others. */
export interface Joint {
  /** Natural log of the density of all readings together. */
  readonly logDensity: number;
  /** Natural log of the density of reading i given the others. */
  readonly logGivenOthers: readonly number[];
  /** Inverse covariance, for prediction of a further reading. */
  readonly precision: Matrix;
  /** Precision × residual. */
  readonly weights: readonly number[];
}

const LOG_TWO_PI = Math.log(2 * Math.PI);

/** `residuals`: reading − mean; `loads`: one row a reading, of shared unknowns; `noise`: sd each. */
export function joint(
  residuals: readonly number[],
  loads: readonly Float64Array[],
  noise: readonly number[],
): Joint {
  const size = residuals.length;
  if (size === 0) return EMPTY;
  const covariance = new Matrix(size, size);
  for (let i = 0; i < size; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      const own = i === j ? (noise[i] ?? 0) ** 2 : 0;
      const value = dot(loads[i], loads[j]) + own;
      covariance.set(i, j, value);
      covariance.set(j, i, value);
    }
  }
  const cholesky = new CholeskyDecomposition(covariance);
  const lower = cholesky.lowerTriangularMatrix;
  const precision = cholesky.solve(Matrix.eye(size, size));
  const weights = precision.mmul(Matrix.columnVector([...residuals])).to1DArray();
  let halfLogDet = 0;
  for (let i = 0; i < size; i += 1) halfLogDet += Math.log(lower.get(i, i));
  const square = residuals.reduce((sum, r, i) => sum + r * (weights[i] ?? 0), 0);
  return {
    logDensity: -0.5 * (square + size * LOG_TWO_PI) - halfLogDet,
    logGivenOthers: weights.map((w, i) => {
      const p = precision.get(i, i);
      return -0.5 * ((w * w) / p + LOG_TWO_PI - Math.log(p));
    }),
    precision,
    weights,
  };
}

/** Natural log of the density of readings i and j together, given all the others. */
export function logPairGivenOthers({ precision, weights }: Joint, i: number, j: number): number {
  const [pii, pij, pjj] = [precision.get(i, i), precision.get(i, j), precision.get(j, j)];
  const [wi, wj] = [weights[i] ?? 0, weights[j] ?? 0];
  const determinant = pii * pjj - pij * pij;
  const square = (pjj * wi * wi - 2 * pij * wi * wj + pii * wj * wj) / determinant;
  return -0.5 * square + 0.5 * Math.log(determinant) - LOG_TWO_PI;
}

const EMPTY: Joint = {
  logDensity: 0,
  logGivenOthers: [],
  precision: new Matrix(0, 0),
  weights: [],
};

export function dot(a: Float64Array | undefined, b: Float64Array | undefined): number {
  if (a === undefined || b === undefined) return 0;
  let sum = 0;
  for (let k = 0; k < a.length; k += 1) sum += (a[k] ?? 0) * (b[k] ?? 0);
  return sum;
}
