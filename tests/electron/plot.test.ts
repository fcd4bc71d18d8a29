import { expect, test } from "vitest";
import { LivePlot } from "../../electron/bench/plot.js";
import type { TimedReading } from "../../protocols/reading.js";

function volts(time_s: number, value: number | null): TimedReading {
  return {
    time_s,
    channel: "a",
    quantity: "voltage",
    coupling: "dc",
    value,
    unit: "V",
    overload: value === null,
    resolution: 0.01,
    flags: [],
  };
}

test("every reading of a slow meter is drawn at once", () => {
  const plot = new LivePlot("a");
  const sent = [0, 0.3, 0.6].map((t) => plot.push(volts(t, 18 + t)));
  expect(sent.map((event) => event?.time_s)).toEqual([[0], [0.3], [0.6]]);
});

test("a spike of one reading in a fast stream survives the thinning", () => {
  const plot = new LivePlot("a");
  for (let n = 0; n < 1000; n += 1) plot.push(volts(n / 1000, n === 137 ? 12 : 18));
  const { low, time_s } = plot.whole();
  expect(Math.min(...low.filter((value) => value !== null))).toBe(12);
  expect(time_s.length).toBeLessThan(25);
});

test("an hour of a fast meter keeps no more than the plot shows", () => {
  const plot = new LivePlot("a");
  for (let n = 0; n < 360_000; n += 1) plot.push(volts(n / 100, 18));
  const { time_s } = plot.whole();
  expect(time_s.length).toBeLessThanOrEqual(602);
  expect((time_s.at(-1) ?? 0) - (time_s[0] ?? 0)).toBeLessThanOrEqual(30.1);
});

test("another unit starts the plot afresh: ohms are not drawn on the scale of volts", () => {
  const plot = new LivePlot("a");
  plot.push(volts(0, 18));
  const first = plot.push({ ...volts(1, 0.4), quantity: "resistance", unit: "Ω", coupling: null });
  expect(first).toMatchObject({ fresh: true, time_s: [1] });
});

test("an overload is a gap, not a line", () => {
  const plot = new LivePlot("a");
  plot.push(volts(0, 18));
  expect(plot.push(volts(1, null))).toMatchObject({ low: [null], high: [null] });
});
