import { normalCdf, studentCdf, studentDensity } from "./distributions.js";

/** What is known of the error of a value: a sum of independent parts, each symmetric about zero. */
export interface ErrorParts {
  /** Combined standard uncertainty of all parts. */
  readonly u: number;
  /** Effective degrees of freedom of the combined standard uncertainty. */
  readonly dof: number;
  /** Standard uncertainties of the rectangular ones among the parts. */
  readonly rectangular: readonly number[];
}

/** Midpoints that the second rectangle is averaged over. */
const SLICES = 48;
/** The mean of a distribution with one degree of freedom does not exist. */
const LEAST_DOF = 1.01;

/**
 * Probability that the error is no more than x. The two largest rectangles are taken as what they
 * are, the rest together as a Student distribution: a budget that one accuracy statement dominates
 * has no normal tails (EA-4/02 S9 and S10; JCGM 101:2008 9.2).
 */
export function errorCdf({ u, dof, rectangular }: ErrorParts, x: number): number {
  if (u === 0) return x < 0 ? 0 : 1;
  const [first = 0, second = 0] = [...rectangular].sort((a, b) => b - a);
  const rest = Math.sqrt(Math.max(0, u ** 2 - first ** 2 - second ** 2));
  // Welch and Satterthwaite: u⁴/dof is the same sum with and without parts that are exactly known.
  const restDof = Math.max(LEAST_DOF, dof * (rest / u) ** 4);
  const [a, b] = [first * Math.sqrt(3), second * Math.sqrt(3)];
  if (b < 1e-3 * u) return oneRectangle(x, a, Math.hypot(rest, second), restDof);
  let sum = 0;
  for (let k = 0; k < SLICES; k++) {
    const shift = b * ((2 * k + 1) / SLICES - 1);
    sum += oneRectangle(x - shift, a, rest, restDof);
  }
  return sum / SLICES;
}

/** Of a rectangle ±a and a Student distribution of scale s together. */
function oneRectangle(x: number, a: number, s: number, dof: number): number {
  if (s < 1e-9 * a) return Math.min(1, Math.max(0, (x + a) / (2 * a)));
  if (a < 1e-3 * s) return studentCdf(x / Math.hypot(s, a / Math.sqrt(3)), dof);
  const share = (s / (2 * a)) * (cdfIntegral((x + a) / s, dof) - cdfIntegral((x - a) / s, dof));
  return Math.min(1, Math.max(0, share));
}

/** ∫ of the cumulative probability from −∞ to z. */
function cdfIntegral(z: number, dof: number): number {
  if (dof === Infinity) {
    return z * normalCdf(z) + Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  }
  return z * studentCdf(z, dof) + ((dof + z * z) / (dof - 1)) * studentDensity(z, dof);
}

/**
 * The factor k for a symmetric interval ±k·u of `coverage`, such as 0.95: that of Student where no
 * part is rectangular (GUM G.3), 0.95·√3 = 1.65 where there is nothing but one rectangle.
 */
export function expansionFactor(parts: ErrorParts, coverage: number): number {
  const p = (1 + coverage) / 2;
  const unit = {
    ...parts,
    u: 1,
    rectangular: parts.rectangular.filter((r) => r > 0).map((r) => r / parts.u),
  };
  let low = 0;
  let high = 1;
  while (errorCdf(unit, high) < p) [low, high] = [high, high * 2];
  while (high - low > 1e-9 * high) {
    const middle = (low + high) / 2;
    if (errorCdf(unit, middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
