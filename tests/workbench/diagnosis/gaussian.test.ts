import { CholeskyDecomposition, Matrix } from "ml-matrix";
import { expect, test } from "vitest";
import { Pile, loadsOf } from "../../../workbench/diagnosis/gaussian.js";

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

const pile = new Pile();
function put(which: readonly number[]): void {
  for (const i of which)
    pile.put({ residual: residuals[i]!, loads: loadsOf(loads[i]!), noise: noise[i]! });
}
// Something else was there before: what is taken off must leave nothing behind.
put([0, 3, 3, 1]);
pile.cut(1);
put([1, 2, 3]);
const together = pile.joint();

test("the inverse covariance agrees with a general matrix library", () => {
  const expected = new CholeskyDecomposition(covariance([0, 1, 2, 3])).solve(Matrix.eye(4));
  expected.to1DArray().forEach((value, i) => {
    expect(together.precision[i]).toBeCloseTo(value, 8);
  });
});

test("the joint density agrees with a general matrix library", () => {
  expect(pile.logDensity).toBeCloseTo(logDensity([0, 1, 2, 3]), 10);
});

test("one reading given the others is the quotient of two joint densities", () => {
  for (const i of [0, 1, 2, 3]) {
    const others = [0, 1, 2, 3].filter((j) => j !== i);
    const expected = logDensity([0, 1, 2, 3]) - logDensity(others);
    expect(pile.alone(i)).toBeCloseTo(expected, 10);
  }
});

test("so are two readings given the others", () => {
  expect(pile.pair(2, 0)).toBeCloseTo(logDensity([0, 1, 2, 3]) - logDensity([1, 3]), 10);
});
