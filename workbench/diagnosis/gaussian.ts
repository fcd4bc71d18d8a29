/** Joint normal density of several readings, and what each looks like given all the others. */
export interface Joint {
  readonly size: number;
  /** Natural log of the density of all readings together. */
  readonly logDensity: number;
  /** Inverse covariance, row by row. */
  readonly precision: Float64Array;
  /** Precision × residual. */
  readonly weights: Float64Array;
}

const LOG_TWO_PI = Math.log(2 * Math.PI);

/**
 * `residuals`: reading − mean; `loads`: one row a reading, of shared unknowns; `noise`: sd each.
 * The innermost loop of the reasoning, thousands of times per reading: plain arrays here are eight
 * times as fast as a general matrix library, against which a test compares it.
 */
export function joint(
  residuals: readonly number[],
  loads: readonly Float64Array[],
  noise: readonly number[],
): Joint {
  const size = residuals.length;
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      const value = dot(loads[i], loads[j]) + (i === j ? (noise[i] ?? 0) ** 2 : 0);
      covariance[i * size + j] = value;
      covariance[j * size + i] = value;
    }
  }
  const logDet = invertInPlace(covariance, size);
  const weights = new Float64Array(size);
  let square = 0;
  for (let i = 0; i < size; i += 1) {
    let sum = 0;
    for (let j = 0; j < size; j += 1) sum += (covariance[i * size + j] ?? 0) * (residuals[j] ?? 0);
    weights[i] = sum;
    square += sum * (residuals[i] ?? 0);
  }
  const logDensity = -0.5 * (square + logDet + size * LOG_TWO_PI);
  return { size, logDensity, precision: covariance, weights };
}

/** Symmetric positive definite matrix to its inverse, by symmetric sweeps; returns ln det. */
function invertInPlace(m: Float64Array, size: number): number {
  let logDet = 0;
  for (let k = 0; k < size; k += 1) {
    const pivot = m[k * size + k] ?? 1;
    logDet += Math.log(pivot);
    for (let i = 0; i < size; i += 1) {
      if (i === k) continue;
      const factor = (m[i * size + k] ?? 0) / pivot;
      for (let j = 0; j < size; j += 1) {
        if (j !== k) m[i * size + j] = (m[i * size + j] ?? 0) - factor * (m[k * size + j] ?? 0);
      }
    }
    for (let i = 0; i < size; i += 1) {
      if (i === k) continue;
      m[i * size + k] = (m[i * size + k] ?? 0) / pivot;
      m[k * size + i] = (m[k * size + i] ?? 0) / pivot;
    }
    m[k * size + k] = -1 / pivot;
  }
  for (let i = 0; i < m.length; i += 1) m[i] = -(m[i] ?? 0);
  return logDet;
}

/** Natural log of the density of reading i given all the others. */
export function logGivenOthers({ size, precision, weights }: Joint, i: number): number {
  const p = precision[i * size + i] ?? 1;
  const w = weights[i] ?? 0;
  return -0.5 * ((w * w) / p + LOG_TWO_PI - Math.log(p));
}

/** Natural log of the density of readings i and j together, given all the others. */
export function logPairGivenOthers(
  { size, precision, weights }: Joint,
  i: number,
  j: number,
): number {
  const pii = precision[i * size + i] ?? 1;
  const pij = precision[i * size + j] ?? 0;
  const pjj = precision[j * size + j] ?? 1;
  const [wi, wj] = [weights[i] ?? 0, weights[j] ?? 0];
  const determinant = pii * pjj - pij * pij;
  const square = (pjj * wi * wi - 2 * pij * wi * wj + pii * wj * wj) / determinant;
  return -0.5 * square + 0.5 * Math.log(determinant) - LOG_TWO_PI;
}

export function dot(a: Float64Array | undefined, b: Float64Array | undefined): number {
  if (a === undefined || b === undefined) return 0;
  let sum = 0;
  for (let k = 0; k < a.length; k += 1) sum += (a[k] ?? 0) * (b[k] ?? 0);
  return sum;
}
