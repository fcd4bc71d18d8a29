import { gridStart, logSpaced } from "./grid.js";
import { nonlinearFit } from "./nonlinear.js";
import type { NonlinearFit } from "./nonlinear.js";

export interface ExponentialTerm {
  readonly amplitude: number;
  readonly uAmplitude: number;
  readonly tau_s: number;
  readonly uTau_s: number;
}

export interface ExponentialFit {
  readonly offset: number;
  readonly uOffset: number;
  /** Fastest first. */
  readonly terms: readonly ExponentialTerm[];
  readonly residualSumOfSquares: number;
  readonly dof: number;
}

/** How much a further term must lower the residual sum of squares, in residual variances. */
export const WORTH_A_TERM = 20;

/**
 * y = offset + Σ a·exp(−t/τ) with as many terms, up to `most`, as the data support: a term is
 * kept only where it lowers the sum of squares beyond chance. `t` from zero. null where not even
 * the offset can be had.
 */
export function fitExponentials(
  t: Float64Array,
  y: Float64Array,
  most: 1 | 2 = 2,
): ExponentialFit | null {
  let best = fitTerms(t, y, 0);
  for (const count of [1, 2] as const) {
    if (count > most || best === null) break;
    const richer = fitTerms(t, y, count);
    if (richer === null || richer.dof <= 0) break;
    const variance = richer.residualSumOfSquares / richer.dof;
    if (best.residualSumOfSquares - richer.residualSumOfSquares < WORTH_A_TERM * variance) break;
    best = richer;
  }
  return best;
}

/** With exactly so many terms, from a start found on a grid. */
export function fitTerms(
  t: Float64Array,
  y: Float64Array,
  count: 0 | 1 | 2,
): ExponentialFit | null {
  const n = t.length;
  if (n < 2 * count + 2) return null;
  const span = (t[n - 1] as number) - (t[0] as number);
  const step = span / (n - 1);
  if (!(step > 0)) return null;
  const start = gridStart(
    {
      fixed: [new Float64Array(n).fill(1)],
      column: (tau) => t.map((x) => Math.exp(-x / tau)),
      y,
    },
    logSpaced(step / 2, 3 * span, 24),
    count,
  );
  if (start === null) return null;
  const [offset = 0, ...amplitudes] = start.linear;
  const fit = nonlinearFit({
    start: [offset, ...start.taus_s.flatMap((tau, j) => [amplitudes[j] as number, log(tau, step)])],
    residuals: (p) => residuals(t, y, p, step),
  });
  return fit === null ? null : readFit(fit, count, step);
}

/** Time constants are fitted as ln(τ/step) + 2, which stays clear of zero. */
function log(tau: number, step: number): number {
  return Math.log(tau / step) + 2;
}

function tauOf(parameter: number, step: number): number {
  return step * Math.exp(parameter - 2);
}

function residuals(
  t: Float64Array,
  y: Float64Array,
  p: readonly number[],
  step: number,
): Float64Array {
  const [offset = 0, a1 = 0, l1 = 0, a2 = 0, l2 = 0] = p;
  const rate1 = 1 / tauOf(l1, step);
  const rate2 = 1 / tauOf(l2, step);
  return y.map((value, k) => {
    const x = t[k] as number;
    const first = a1 === 0 ? 0 : a1 * Math.exp(-x * rate1);
    const second = a2 === 0 ? 0 : a2 * Math.exp(-x * rate2);
    return value - offset - first - second;
  });
}

function readFit(fit: NonlinearFit, count: number, step: number): ExponentialFit {
  const u = (j: number): number => Math.sqrt(fit.covariance.get(j, j));
  const terms = Array.from({ length: count }, (_, j) => {
    const tau_s = tauOf(fit.parameters[2 * j + 2] as number, step);
    return {
      amplitude: fit.parameters[2 * j + 1] as number,
      uAmplitude: u(2 * j + 1),
      tau_s,
      uTau_s: tau_s * u(2 * j + 2),
    };
  });
  return {
    offset: fit.parameters[0] as number,
    uOffset: u(0),
    terms: terms.sort((a, b) => a.tau_s - b.tau_s),
    residualSumOfSquares: fit.residualSumOfSquares,
    dof: fit.dof,
  };
}
