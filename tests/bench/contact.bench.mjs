/**
 * Contact tracking a reading against recomputing the same statistics (lowest, highest, mean,
 * standard deviation, trend, noise) over the window at each reading; and against itself with a
 * window sixty-four times as long.
 */
import { ContactTracker } from "../../dist/workbench/measurement/contact.js";
import { compare } from "./harness.mjs";

const READINGS = 40_000;

function readingsAt(rate) {
  let state = 1;
  const random = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return Array.from({ length: READINGS }, (_, k) => ({
    time_s: k / rate,
    channel: "a",
    quantity: "voltage",
    coupling: "dc",
    value: Math.round(1984 + random() * 2 - 1) / 100,
    overload: false,
    unit: "V",
    resolution: 0.01,
    flags: [],
  }));
}

function track(readings) {
  return () => {
    const tracker = new ContactTracker({ window_s: 1, counts: 3 });
    let held = 0;
    for (const reading of readings) {
      tracker.push(reading);
      if (tracker.state === "held") held++;
    }
    if (held < READINGS / 2) throw new Error("nothing was held");
    return READINGS;
  };
}

function recompute(readings, n) {
  return () => {
    const window = new Float64Array(n);
    let filled = 0;
    let sum = 0;
    for (const { value } of readings) {
      window[filled++ % n] = value;
      if (filled >= n) sum += statistics(window, filled % n).deviation;
    }
    if (!(sum > 0)) throw new Error("nothing was computed");
    return READINGS;
  };
}

function statistics(window, first) {
  const n = window.length;
  let low = Infinity;
  let high = -Infinity;
  let sum = 0;
  let squares = 0;
  let moment = 0;
  let moves = 0;
  let before = window[first];
  for (let k = 0; k < n; k++) {
    const x = window[(first + k) % n];
    if (x < low) low = x;
    if (x > high) high = x;
    sum += x;
    squares += x * x;
    moment += k * x;
    moves += (x - before) ** 2;
    before = x;
  }
  const mean = sum / n;
  const deviation = Math.sqrt(Math.max(0, squares / n - mean * mean));
  const slope = (12 * (moment - ((n - 1) / 2) * sum)) / (n * (n * n - 1));
  return { low, high, mean, deviation, slope, noise: Math.sqrt(moves / (2 * (n - 1))) };
}

const usual = readingsAt(256);
await compare({
  name: "contact tracking, window of 256 readings",
  unit: "readings",
  bar: 20,
  ours: track(usual),
  peer: recompute(usual, 256),
  peerName: "recomputing the window",
});
await compare({
  name: "contact tracking, window of 4,096 readings",
  unit: "readings",
  bar: 0.8,
  ours: track(readingsAt(4096)),
  peer: track(readingsAt(64)),
  peerName: "itself with 64",
});
