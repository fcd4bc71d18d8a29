import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import {
  joint,
  logGivenOthers,
  logPairGivenOthers,
} from "../../../workbench/diagnosis/gaussian.js";

const residuals = [0.3, -0.2, 0.9, 0.1];
const loads = [
  [1, 0.2, 0],
  [0.9, 0, 0.4],
  [0.8, 0.1, 0.1],
  [0, 0, 0.7],
].map((row) => Float64Array.from(row));
const noise = [0.1, 0.12, 0.3, 0.05];

function covariance(which: readonly number[]): Matrix {
  const rows = new Matrix(which.map((i) => [...loads[i]!]));
  return rows.mmul(rows.transpose()).add(Matrix.diag(which.map((i) => noise[i]! ** 2)));
}

/** Log density by the general library. */
function logDensity(which: readonly number[]): number {
  const cholesky = new CholeskyDecomposition(covariance(which));
  const y = Matrix.columnVector(which.map((i) => residuals[i]!));
  const square = y.transpose().mmul(cholesky.solve(y)).get(0, 0);
  const half = cholesky.lowerTriangularMatrix.diagonal().reduce((s, d) => s + Math.log(d), 0);
  return -0.5 * square - half - (which.length / 2) * Math.log(2 * Math.PI);
}

const together = joint(residuals, loads, noise);

test("the joint density agrees with a general matrix library", () => {
  expect(together.logDensity).toBeCloseTo(logDensity([0, 1, 2, 3]), 10);
});

test("one reading given the others is the quotient of two joint densities", () => {
  for (const i of [0, 1, 2, 3]) {
    const others = [0, 1, 2, 3].filter((j) => j !== i);
    const expected = logDensity([0, 1, 2, 3]) - logDensity(others);
    expect(logGivenOthers(together, i)).toBeCloseTo(expected, 10);
  }
});

test("so are two readings given the others", () => {
  expect(logPairGivenOthers(together, 2, 0)).toBeCloseTo(
    logDensity([0, 1, 2, 3]) - logDensity([1, 3]),
    10,
  );
});
