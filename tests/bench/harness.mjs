/**
 * Benchmarks compare: ours and a named peer take turns in the same process on the same data, and
 * what is reported is the median of the ratios. A ratio survives a busy machine, a time does not.
 */

const ROUNDS = 7;
const ROUND_MS = 300;

/**
 * Runs `work` (may be async, returns how many units it did) for a while; units a second of
 * processor time, so that what else the machine does costs nothing.
 */
async function rate(work) {
  const start = process.cpuUsage();
  let units = 0;
  let spent_ms = 0;
  do {
    units += await work();
    const { user, system } = process.cpuUsage(start);
    spent_ms = (user + system) / 1000;
  } while (spent_ms < ROUND_MS);
  return (units / spent_ms) * 1000;
}

/**
 * Prints one line: rates of both, the ratio (ours over the peer's), and whether the bar is met.
 * `bar` null: told for information. Returns the ratio.
 */
export async function compare({ name, unit, bar, ours, peer, peerName }) {
  await rate(ours);
  await rate(peer);
  const ratios = [];
  let best = 0;
  let bestPeer = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const a = await rate(ours);
    const b = await rate(peer);
    ratios.push(a / b);
    best = Math.max(best, a);
    bestPeer = Math.max(bestPeer, b);
  }
  const ratio = median(ratios);
  const verdict = bar === null ? "" : told(ratio >= bar, `bar: at least ${bar}`);
  console.log(
    `  ${name}: ${count(best)} ${unit}/s, ${peerName} ${count(bestPeer)}: ${ratio.toFixed(1)} times${verdict}`,
  );
  return ratio;
}

/** Prints a measured figure against its bar; a figure above `atMost` is missed. */
export function figure({ name, value, unit, atMost }) {
  const verdict = told(value <= atMost, `bar: at most ${atMost}`);
  console.log(`  ${name}: ${value.toPrecision(3)} ${unit}${verdict}`);
}

function told(met, bar) {
  if (!met) process.exitCode = 1;
  return ` (${bar}; ${met ? "met" : "MISSED"})`;
}

function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}

function count(value) {
  return value >= 1e6 ? `${(value / 1e6).toFixed(2)} M` : `${(value / 1e3).toFixed(1)} k`;
}
