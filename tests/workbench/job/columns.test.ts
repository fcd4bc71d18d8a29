import "../patience.js";
import { readFileSync, statSync, truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { TimedReading } from "../../../protocols/reading.js";
import { openColumns } from "../../../workbench/job/columns/cache.js";
import { ColumnTrace } from "../../../workbench/job/columns/trace.js";
import { ColumnWriter } from "../../../workbench/job/columns/writer.js";
import { chance } from "../../torture/promises.js";
import { temporaryFolder } from "./fixtures.js";
import { sampleRun } from "./sample-run.js";

const volts: Omit<TimedReading, "time_s" | "value"> = {
  channel: "a",
  quantity: "voltage",
  coupling: "dc",
  overload: false,
  unit: "V",
  resolution: 0.001,
  flags: [],
};

function written(readings: Iterable<TimedReading>): ColumnTrace {
  const blocks: Uint8Array[] = [];
  const writer = new ColumnWriter((block) => blocks.push(block));
  for (const reading of readings) writer.add(reading);
  writer.end();
  return ColumnTrace.decode(new Uint8Array(Buffer.concat(blocks)));
}

/** Uneven times, gaps, overload, changes of range and of function, a meter without resolution. */
function* mixed(count: number, seed: number): Generator<TimedReading> {
  const random = chance(seed);
  let time_s = 0;
  for (let n = 0; n < count; n++) {
    time_s += n % 1000 === 999 ? 3 : (500 + random(1000)) / 1e6;
    const value = (random(40_000) - 20_000) / 1000;
    if (n % 97 === 0) yield { ...volts, time_s, value: null, overload: true };
    else if (Math.floor(n / 700) % 5 === 3) {
      const current = { quantity: "current", unit: "A", resolution: null } as const;
      yield { ...volts, ...current, time_s, value: value / 3 };
    } else yield { ...volts, time_s, value };
  }
}

/** Least and greatest of each column of pixels, looked for reading by reading. */
function byHand(
  readings: readonly TimedReading[],
  quantity: string,
  from_s: number,
  to_s: number,
  pixels: number,
): { low: (number | null)[]; high: (number | null)[] } {
  const low = new Array<number | null>(pixels).fill(null);
  const high = new Array<number | null>(pixels).fill(null);
  const width_us = ((to_s - from_s) * 1e6) / pixels;
  for (const reading of readings) {
    const { value } = reading;
    const time_us = Math.round(reading.time_s * 1e6);
    if (value === null || reading.quantity !== quantity || time_us < from_s * 1e6) continue;
    let pixel = Math.min(pixels, Math.floor((time_us - from_s * 1e6) / width_us) + 1);
    while (pixel > 0 && time_us < from_s * 1e6 + pixel * width_us) pixel--;
    if (pixel >= pixels || time_us >= from_s * 1e6 + (pixel + 1) * width_us) continue;
    low[pixel] = Math.min(low[pixel] ?? value, value);
    high[pixel] = Math.max(high[pixel] ?? value, value);
  }
  return { low, high };
}

test("any window shows the least and greatest of each column, as counted by hand", () => {
  const readings = [...mixed(20_000, 5)];
  const trace = written(readings);
  expect(trace.readings).toBe(20_000);
  const random = chance(9);
  for (let n = 0; n < 40; n++) {
    const from_s = (random(1000) / 1000) * trace.end_s;
    const to_s = from_s + ((random(1000) + 1) / 1000) * trace.end_s;
    const pixels = 1 + random(300);
    for (const quantity of ["voltage", "current"] as const) {
      const window = trace.window(quantity, from_s, to_s, pixels);
      const expected = byHand(readings, quantity, from_s, to_s, pixels);
      expect(window.low).toEqual(expected.low);
      expect(window.high).toEqual(expected.high);
    }
  }
});

test("every value and time comes back: counts exactly, times to the microsecond", () => {
  const readings = [...mixed(3_000, 2)].filter(({ value }) => value !== null);
  const trace = written(readings);
  for (const { time_s, value, quantity } of readings) {
    const from_s = (Math.round(time_s * 1e6) - 0.5) / 1e6;
    const { low, high } = trace.window(quantity, from_s, from_s + 1e-6, 1);
    expect([low[0], high[0]]).toEqual([value, value]);
  }
});

test("the cache is made once, used again, and made anew when the trace or the program changed", async () => {
  const folder = temporaryFolder();
  await sampleRun(folder);
  const path = join(folder, "cache/a.columns");
  const first = await openColumns(folder, "a", "1.0.0");
  expect(first.readings).toBe(120);
  expect(first.quantities).toEqual(["voltage"]);
  const made = statSync(path).mtimeMs;
  expect((await openColumns(folder, "a", "1.0.0")).readings).toBe(120);
  expect(statSync(path).mtimeMs).toBe(made);
  await openColumns(folder, "a", "1.0.1");
  expect(readFileSync(path, "latin1")).toContain('"1.0.1"');
  const bytes = readFileSync(path);
  bytes[bytes.length - 3] = bytes[bytes.length - 3]! ^ 0x10;
  writeFileSync(path, bytes);
  expect((await openColumns(folder, "a", "1.0.1")).readings).toBe(120);
  truncateSync(path, 200);
  expect((await openColumns(folder, "a", "1.0.1")).readings).toBe(120);
});
