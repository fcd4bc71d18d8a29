/** Information measures of discrete distributions (Shannon 1948), in bits. */

export function entropyBits(probabilities: readonly number[]): number {
  return probabilities.reduce((sum, p) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
}

/**
 * What an outcome is expected to tell about which hypothesis holds: mutual information, bits.
 * `joint[h][o]` is the probability of hypothesis h and outcome o together; it need not sum to 1.
 */
export function expectedInformationBits(joint: readonly (readonly number[])[]): number {
  const total = joint.reduce((sum, row) => sum + row.reduce((s, p) => s + p, 0), 0);
  if (total <= 0) return 0;
  const rows = joint.map((row) => row.reduce((s, p) => s + p, 0) / total);
  const columns = (joint[0] ?? []).map(
    (_, o) => joint.reduce((s, row) => s + (row[o] ?? 0), 0) / total,
  );
  const cells = joint.flatMap((row) => row.map((p) => p / total));
  return entropyBits(rows) + entropyBits(columns) - entropyBits(cells);
}
