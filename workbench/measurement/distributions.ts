/**
 * Normal and Student distributions for coverage factors and risks. Own code because the one
 * well-kept library that has them brings over two hundred packages; checked against GUM Table G.2
 * and by direct integration of the densities.
 */

/** Standard normal cumulative probability. Relative error below 1e-12 also far in the tails. */
export function normalCdf(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  const tail = 0.5 * upperGammaHalf((z * z) / 2);
  return z < 0 ? tail : 1 - tail;
}

/** Standard normal quantile: the z with `normalCdf(z) = p`, 0 < p < 1. */
export function normalQuantile(p: number): number {
  return solveQuantile(p, normalCdf, (z) => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI));
}

/** Student t cumulative probability; `dof` > 0, Infinity allowed. */
export function studentCdf(t: number, dof: number): number {
  if (dof === Number.POSITIVE_INFINITY) return normalCdf(t);
  // Abramowitz & Stegun 26.7.1: A(t|ν) = 1 − I_x(ν/2, 1/2), x = ν/(ν + t²).
  const tail = 0.5 * incompleteBeta(dof / (dof + t * t), dof / 2, 0.5);
  return t < 0 ? tail : 1 - tail;
}

/** Student t quantile; `dof` need not be whole (GUM G.4.2 allows interpolation). */
export function studentQuantile(p: number, dof: number): number {
  if (dof === Number.POSITIVE_INFINITY) return normalQuantile(p);
  return solveQuantile(
    p,
    (t) => studentCdf(t, dof),
    (t) => studentDensity(t, dof),
  );
}

/** Student t probability density; `dof` finite. */
export function studentDensity(t: number, dof: number): number {
  const scale = Math.exp(logGamma((dof + 1) / 2) - logGamma(dof / 2)) / Math.sqrt(dof * Math.PI);
  return scale * (1 + (t * t) / dof) ** (-(dof + 1) / 2);
}

/** The factor k for a two-sided interval of `coverage`, such as 0.95 (GUM G.3). */
export function coverageFactor(coverage: number, dof: number): number {
  return studentQuantile((1 + coverage) / 2, dof);
}

/** Newton's method on the upper half, kept inside a bracket that halves when Newton leaves it. */
function solveQuantile(
  p: number,
  cdf: (x: number) => number,
  density: (x: number) => number,
): number {
  if (!(p > 0 && p < 1)) return Number.NaN;
  if (p < 0.5) return -solveQuantile(1 - p, cdf, density);
  let low = 0;
  let high = 1;
  while (cdf(high) < p) [low, high] = [high, high * 2];
  let x = (low + high) / 2;
  for (let n = 0; n < 200; n++) {
    const excess = cdf(x) - p;
    if (excess > 0) high = x;
    else low = x;
    const newton = x - excess / density(x);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - x) <= 1e-14 * Math.max(1, Math.abs(x))) return next;
    x = next;
  }
  return x;
}

/** Regularised upper incomplete gamma Q(1/2, x) = erfc(√x): series below 1.5, fraction above. */
function upperGammaHalf(x: number): number {
  if (x === Number.POSITIVE_INFINITY) return 0;
  const front = Math.exp(-x) * Math.sqrt(x / Math.PI);
  if (x < 1.5) {
    let term = 2;
    let sum = 2;
    for (let n = 1; n < 200 && term > 1e-17 * sum; n++) {
      term *= x / (n + 0.5);
      sum += term;
    }
    return 1 - front * sum;
  }
  // Lentz's algorithm on A&S 6.5.31.
  let b = x + 0.5;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < 500; n++) {
    const a = -n * (n - 0.5);
    b += 2;
    d = 1 / (a * d + b);
    c = b + a / c;
    h *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return front * h;
}

/** Regularised incomplete beta I_x(a, b) by its continued fraction (A&S 26.5.8). */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  const front = Math.exp(
    logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x),
  );
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(x, a, b)) / a
    : 1 - (front * betaFraction(1 - x, b, a)) / b;
}

function betaFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return h;
}

/** ln Γ(x), x > 0: upward recurrence to x ≥ 10, then Stirling's series (A&S 6.1.41). */
function logGamma(x: number): number {
  let shift = 0;
  let z = x;
  while (z < 10) shift -= Math.log(z++);
  const w = 1 / (z * z);
  const series =
    (1 / 12 + w * (-1 / 360 + w * (1 / 1260 + w * (-1 / 1680 + w * (1 / 1188 - w / 503))))) / z;
  return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series;
}
