import { inverse, Matrix, QrDecomposition } from "ml-matrix";

export interface LinearFit {
  readonly parameters: readonly number[];
  /** Covariance of the parameters, scaled by the residual variance (GUM H.3). */
  readonly covariance: Matrix;
  readonly residuals: Float64Array;
  readonly residualSumOfSquares: number;
  readonly dof: number;
}

/**
 * Ordinary least squares by QR of the scaled columns, with one step of refinement of the solution.
 * `columns` are the basis functions at the observations. null where the columns cannot be told
 * apart or there are fewer observations than parameters.
 */
export function linearFit(
  columns: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
): LinearFit | null {
  const [n, p] = [y.length, columns.length];
  if (n < p) return null;
  const scales = columns.map(norm);
  if (scales.some((s) => !(s > 0) || !Number.isFinite(s))) return null;
  const design = new Matrix(n, p);
  columns.forEach((column, j) => {
    for (let i = 0; i < n; i++) design.set(i, j, (column[i] as number) / (scales[j] as number));
  });
  const qr = new QrDecomposition(design);
  const r = qr.upperTriangularMatrix;
  if (!wellConditioned(r)) return null;
  const solution = qr.solve(Matrix.columnVector(Array.from(y)));
  const correction = qr.solve(Matrix.columnVector(Array.from(residual(design, solution, y))));
  solution.add(correction);
  const residuals = residual(design, solution, y);
  const dof = n - p;
  const residualSumOfSquares = norm(residuals) ** 2;
  const variance = dof > 0 ? residualSumOfSquares / dof : 0;
  const unscale = Matrix.diag(scales.map((s) => 1 / s));
  const half = unscale.mmul(inverse(r));
  return {
    parameters: unscale.mmul(solution).to1DArray(),
    covariance: half.mmul(half.transpose()).mul(variance),
    residuals,
    residualSumOfSquares,
    dof,
  };
}

/** y − Xb, summed with compensation where it is cheap: once, in doubles, row by row. */
function residual(design: Matrix, solution: Matrix, y: ArrayLike<number>): Float64Array {
  const fitted = design.mmul(solution);
  return Float64Array.from({ length: y.length }, (_, i) => (y[i] as number) - fitted.get(i, 0));
}

function norm(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += (values[i] as number) ** 2;
  return Math.sqrt(sum);
}

function wellConditioned(r: Matrix): boolean {
  const diagonal = r.diagonal().map(Math.abs);
  return Math.min(...diagonal) > 1e-12 * Math.max(...diagonal);
}

export interface LineFit {
  readonly intercept: number;
  readonly slope: number;
  readonly uIntercept: number;
  readonly uSlope: number;
  /** Correlation coefficient of intercept and slope. */
  readonly correlation: number;
  /** Standard deviation of the residuals. */
  readonly spread: number;
  readonly dof: number;
}

/** A straight line y = intercept + slope·x by least squares (GUM H.3). null below two points. */
export function lineFit(x: ArrayLike<number>, y: ArrayLike<number>): LineFit | null {
  const fit = linearFit([new Float64Array(x.length).fill(1), x], y);
  if (fit === null) return null;
  const [intercept = 0, slope = 0] = fit.parameters;
  const uIntercept = Math.sqrt(fit.covariance.get(0, 0));
  const uSlope = Math.sqrt(fit.covariance.get(1, 1));
  return {
    intercept,
    slope,
    uIntercept,
    uSlope,
    correlation: fit.covariance.get(0, 1) / (uIntercept * uSlope),
    spread: fit.dof > 0 ? Math.sqrt(fit.residualSumOfSquares / fit.dof) : 0,
    dof: fit.dof,
  };
}
