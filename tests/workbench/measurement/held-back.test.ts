import { expect, test } from "vitest";
import {
  heldBack,
  jumpThrough,
  passThrough,
  restingFilter,
  weighBack,
} from "../../../workbench/measurement/sag/held-back.js";
import { steadied, takeBack } from "../../../workbench/measurement/sag/steadied.js";
import { Random } from "./random.js";

const dt = 0.1;
const tau = 0.25;

/** A branch at rest, a jump 0.06 s before reading 3, and a running up with 0.08 s from there. */
function motorFilter(n: number) {
  const filter = restingFilter(n);
  for (let k = 1; k < n; k++) passThrough(filter, k, dt, tau, k > 3 ? 0.08 : Infinity);
  jumpThrough(filter, 3, tau, { after_s: 0.06, dt, next_s: dt, bend_s: 0.08, hidden_As: 0 });
  return filter;
}

test("a motor's current through a branch is the closed solution, however few readings see it", () => {
  const since = (k: number) => (k - 3) * dt + 0.06;
  const current = Float64Array.from({ length: 12 }, (_, k) =>
    k < 3 ? 0 : 15 + 45 * Math.exp(-since(k) / 0.08),
  );
  const found = heldBack(motorFilter(12), current);
  for (let k = 3; k < 12; k++) {
    // τ·dx/dt = 15 + 45·exp(−t/T) − x, x(0) = 0
    const gain = 45 / (1 - tau / 0.08);
    const truth = 15 + gain * Math.exp(-since(k) / 0.08) - (15 + gain) * Math.exp(-since(k) / tau);
    expect(found[k]).toBeCloseTo(truth, 9);
  }
});

test("a straight current through a branch is the closed solution", () => {
  const filter = restingFilter(10);
  for (let k = 1; k < 10; k++) passThrough(filter, k, dt, tau, Infinity);
  const found = heldBack(
    filter,
    Float64Array.from({ length: 10 }, (_, k) => 2 * k * dt),
  );
  const t = 9 * dt;
  expect(found[9]).toBeCloseTo(2 * (t - tau * (1 - Math.exp(-t / tau))), 12);
});

test("carrying weights backwards is the transpose of carrying a current forwards", () => {
  const random = new Random(3);
  const any = () => Float64Array.from({ length: 12 }, () => random.normal());
  const [current, weights, back] = [any(), any(), new Float64Array(12)];
  const filter = motorFilter(12);
  weighBack(filter, weights, 1, back);
  const dot = (a: Float64Array, b: Float64Array) => a.reduce((sum, x, k) => sum + x * b[k]!, 0);
  expect(dot(weights, heldBack(filter, current))).toBeCloseTo(dot(back, current), 12);
});

test("noise is carried back through the means of a level current as it went in", () => {
  const random = new Random(5);
  const n = 200;
  const resting = Array.from({ length: n }, (_, k) => k < 80);
  const level = (k: number) => (k < 80 ? 0 : 15);
  const read = Float64Array.from({ length: n }, (_, k) => level(k) + 0.02 * random.normal());
  const steady = steadied(read, 0.02, resting);
  const weights = Float64Array.from({ length: n }, () => random.normal());
  // Linear where the same readings are averaged: the sum is the same from either side.
  const back = takeBack(steady, weights);
  const forwards = weights.reduce((sum, w, k) => sum + w * steady.values[k]!, 0);
  expect(back.reduce((sum, w, k) => sum + w * read[k]!, 0)).toBeCloseTo(forwards, 9);
});
