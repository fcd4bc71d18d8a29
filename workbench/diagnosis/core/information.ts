/** Information measures of discrete distributions (Shannon 1948), in bits. */

export function entropyBits(probabilities: readonly number[]): number {
  let sum = 0;
  for (const p of probabilities) sum += selfInformation(p);
  return sum;
}

/**
 * What an outcome is expected to tell about which hypothesis holds: mutual information, bits.
 * `joint[h][o]` is the probability of hypothesis h and outcome o together; it need not sum to 1.
 * Plain loops: this is asked of every measurement that could come next.
 */
export function expectedInformationBits(joint: readonly (readonly number[])[]): number {
  let total = 0;
  for (const row of joint) for (const p of row) total += p;
  if (total <= 0) return 0;
  const columns = new Float64Array(joint[0]?.length ?? 0);
  let [rowBits, cellBits] = [0, 0];
  for (const row of joint) {
    let sum = 0;
    for (let o = 0; o < row.length; o += 1) {
      const p = (row[o] ?? 0) / total;
      sum += p;
      columns[o] = (columns[o] ?? 0) + p;
      cellBits += selfInformation(p);
    }
    rowBits += selfInformation(sum);
  }
  return rowBits + entropyBits([...columns]) - cellBits;
}

function selfInformation(p: number): number {
  return p > 0 ? -p * Math.log2(p) : 0;
}
