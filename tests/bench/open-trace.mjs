/**
 * Opens a trace of ten million readings to its first plot, in a process of its own. Argument: a
 * file of columns or of 64-bit pairs. Prints milliseconds of processor time (median of five) and
 * the memory resident after the first opening, MB.
 */
import { closeSync, openSync, readFileSync, readSync, statSync } from "node:fs";
import { ColumnTrace } from "../../dist/workbench/job/columns/trace.js";

const PIXELS = 1200;
const [path = ""] = process.argv.slice(2);
const open = path.endsWith(".columns") ? openColumns : openPairs;
const times = [];
let resident = 0;
for (let n = 0; n < 5; n++) {
  globalThis.gc?.();
  const start = process.cpuUsage();
  const plot = open(path);
  const { user, system } = process.cpuUsage(start);
  if (plot.length !== PIXELS) throw new Error("no plot came of it");
  if (n === 0) resident = process.memoryUsage().rss / 1e6;
  times.push((user + system) / 1000);
}
console.log(`${times.sort((a, b) => a - b)[2]} ${resident}`);

function openColumns() {
  const trace = ColumnTrace.decode(readFileSync(path));
  return trace.window("voltage", trace.start_s, trace.end_s, PIXELS).low;
}

/** The peer: times and values as they are; least and greatest of each column of the plot. */
function openPairs() {
  const { size } = statSync(path);
  const pairs = new Float64Array(size / 8);
  const file = openSync(path, "r");
  readSync(file, pairs, 0, size, 0);
  closeSync(file);
  const end_s = pairs[pairs.length - 2];
  const low = new Float64Array(PIXELS).fill(Infinity);
  const high = new Float64Array(PIXELS).fill(-Infinity);
  for (let n = 0; n < pairs.length; n += 2) {
    const pixel = Math.min(PIXELS - 1, Math.floor((pairs[n] / end_s) * PIXELS));
    const value = pairs[n + 1];
    if (value < low[pixel]) low[pixel] = value;
    if (value > high[pixel]) high[pixel] = value;
  }
  return low;
}
