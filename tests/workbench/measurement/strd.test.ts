import { describe, expect, test } from "vitest";
import { lineFit } from "../../../workbench/measurement/fit/linear.js";
import { nonlinearFit } from "../../../workbench/measurement/fit/nonlinear.js";
import { checkData } from "./check-data.js";

/** NIST Statistical Reference Datasets, as read in reprints of the .dat files. */
interface Strd {
  readonly parameters: readonly {
    start1: number;
    start2: number;
    certified: number;
    sd: number;
  }[];
  readonly residualSumOfSquares: number;
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** Decimal digits that agree with the certified value. */
const digits = (found: number, certified: number) =>
  found === certified ? 15 : -Math.log10(Math.abs((found - certified) / certified));

type Model = (b: readonly number[], x: number) => number;
const at = (b: readonly number[], i: number) => b[i]!;
const MODELS: Record<string, Model> = {
  misra1a: (b, x) => at(b, 0) * (1 - Math.exp(-at(b, 1) * x)),
  boxbod: (b, x) => at(b, 0) * (1 - Math.exp(-at(b, 1) * x)),
  lanczos3: (b, x) =>
    at(b, 0) * Math.exp(-at(b, 1) * x) +
    at(b, 2) * Math.exp(-at(b, 3) * x) +
    at(b, 4) * Math.exp(-at(b, 5) * x),
  mgh17: (b, x) =>
    at(b, 0) + at(b, 1) * Math.exp(-x * at(b, 3)) + at(b, 2) * Math.exp(-x * at(b, 4)),
};

// The digits reached, stated: the least number over parameters and their standard deviations.
describe.each([
  ["misra1a", 9, 9],
  ["boxbod", 9, 9],
  ["lanczos3", 6, 6],
  ["mgh17", 8, 7],
] as const)("NIST StRD %s", (name, digitsOfParameters, digitsOfSd) => {
  const data = checkData(`strd-${name}.json`) as Strd | null;
  test.skipIf(data === null).each(["start1", "start2"] as const)("from %s", (from) => {
    const { x, y, parameters, residualSumOfSquares } = data!;
    const fit = nonlinearFit({
      start: parameters.map((p) => p[from]),
      residuals: (b) => Float64Array.from(x, (xi, i) => y[i]! - MODELS[name]!(b, xi)),
      iterations: 5000,
    })!;
    const value = Math.min(...parameters.map((p, j) => digits(fit.parameters[j]!, p.certified)));
    const sd = Math.min(
      ...parameters.map((p, j) => digits(Math.sqrt(fit.covariance.get(j, j)), p.sd)),
    );
    expect(value).toBeGreaterThan(digitsOfParameters);
    expect(sd).toBeGreaterThan(digitsOfSd);
    expect(digits(fit.residualSumOfSquares, residualSumOfSquares)).toBeGreaterThan(6);
  });
});

const norris = checkData("strd-norris.json") as (Record<string, string> & Strd) | null;

test.skipIf(norris === null)("NIST StRD Norris: a line, to 11 digits", () => {
  const fit = lineFit(norris!.x, norris!.y)!;
  const found = { B0: fit.intercept, B0sd: fit.uIntercept, B1: fit.slope, B1sd: fit.uSlope };
  for (const [name, value] of Object.entries(found)) {
    expect(digits(value, Number(norris![name])), name).toBeGreaterThan(11);
  }
  expect(digits(fit.spread, Number(norris!["residualSd"]))).toBeGreaterThan(11);
});
