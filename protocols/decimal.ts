/**
 * `digits × 10^exponent` as the nearest double. Dividing or multiplying two exactly representable
 * numbers rounds once, so for |digits| < 2^53 and |exponent| ≤ 22 the result is the correctly
 * rounded one; beyond that the language's own decimal parser is asked.
 */
export function scaled(digits: number, exponent: number): number {
  // Written as text, a minus zero would lose its sign.
  if (digits === 0) return digits;
  if (exponent >= 0) {
    return exponent <= 22 ? digits * power(exponent) : Number(`${digits}e${exponent}`);
  }
  return exponent >= -22 ? digits / power(-exponent) : Number(`${digits}e${exponent}`);
}

/** The value of one count at this exponent. */
export function countOf(exponent: number): number {
  return scaled(1, exponent);
}

const POWERS = Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));

function power(n: number): number {
  return POWERS[n] ?? Number(`1e${n}`);
}
