import { describe, expect, test } from "vitest";
import { analyseSag } from "../../../workbench/measurement/sag/analyse.js";
import { sagWatch } from "../../../workbench/watches/sag.js";
import type { WatchTarget } from "../../../workbench/measurement/watch.js";
import { FAIR_PACK, simulatePack } from "../measurement/pack.js";
import { stretch, volts, watchAll } from "../measurement/stream.js";

const target: WatchTarget = {
  quantity: "voltage",
  coupling: "dc",
  polarity: "either",
  zero: "prove",
};
const parameters = { edge: 0.02, hold_s: 1.5 };

function recorded(rate: number, sign = 1) {
  const noise = { noise_V: 0.004, noise_A: 0.02, count_V: 0.01, count_A: 0.01, seed: 3 };
  const sag = simulatePack(FAIR_PACK, { squeezes: [[3, 5]], length_s: 12, rate, ...noise });
  const readings = sag.time_s.map((t, k) => volts(t, sign * sag.voltage_V[k]!));
  const current = sag.time_s.map((t, k) =>
    volts(t, sag.current_A[k]!, { quantity: "current", unit: "A", channel: "b" }),
  );
  return { readings, both: readings.flatMap((reading, k) => [reading, current[k]!]) };
}

describe("capturing a squeeze", () => {
  test.each([3, 10, 100, 1000])("at %i readings a second", (rate) => {
    const { outcome, prompts } = watchAll(
      sagWatch(target, parameters, null),
      recorded(rate).readings,
    );
    expect(prompts.map(({ kind }) => kind)).toEqual(["squeeze", "release"]);
    expect(outcome!.value).toBeGreaterThan(18.2);
    expect(outcome!.value).toBeLessThan(18.5);
    expect(outcome!.details["baseline"]!.value).toBeCloseTo(19.8, 1);
    expect(outcome!.ended_s).toBeLessThan(8);
    const floor = outcome!.details["floor"]!;
    if (rate < 6) expect(floor).toMatchObject({ value: null });
    else expect(floor.value).toBeLessThan(17.6);
  });

  test("a slow meter that catches the motor running up does not take it for the release", () => {
    // As a display of 3.5 readings a second shows a start with current to spare: two low, then level.
    const still = (count: number, value: number) => Array<number>(count).fill(value);
    const start = [...still(10, 20), 19.12, 18.5, 19.35];
    const readings = [...start, ...still(6, 19.38), 19.9, ...still(10, 20)].map((value, k) =>
      volts(k * 0.286, value),
    );
    const { outcome } = watchAll(sagWatch(target, parameters, null), readings);
    expect(outcome!.value).toBeCloseTo(19.38, 1);
  });

  test("reversed probes: the same figures, and said", () => {
    const { outcome } = watchAll(sagWatch(target, parameters, null), recorded(100, -1).readings);
    expect(outcome).toMatchObject({ polarity: "reversed" });
    expect(outcome!.value).toBeGreaterThan(18);
  });

  test("with an ammeter on another channel: the internal resistance", () => {
    const { outcome } = watchAll(sagWatch(target, parameters, null), recorded(100).both);
    const { internalResistance } = outcome!.details;
    expect(internalResistance!.value! / FAIR_PACK.r0_ohm).toBeCloseTo(1, 1);
  });
});

test("nothing on the terminals: proved, then told as zero without a sag", () => {
  const zero = (from: number, to: number) => stretch(from, to, 3, (t) => volts(t, 0));
  const readings = [...zero(0, 12), ...stretch(12, 14, 3, (t) => volts(t, 12.6)), ...zero(14, 25)];
  const { outcome } = watchAll(sagWatch(target, parameters, null), readings);
  expect(outcome).toMatchObject({ value: 0, zero: "proved" });
  expect(outcome!.details["floor"]!.note).toContain("no voltage");
});

test("a lifted probe is no sag", () => {
  const readings = [
    ...stretch(0, 3, 10, (t) => volts(t, 19.8)),
    ...stretch(3, 20, 10, (t) => volts(t, 0)),
  ];
  expect(watchAll(sagWatch(target, parameters, null), readings).outcome).toBeNull();
});

test("a pack that trips: the collapse is told", () => {
  const readings = [
    ...stretch(0, 3, 100, (t) => volts(t, 19.8)),
    ...stretch(3, 3.2, 100, (t) => volts(t, 14)),
    ...stretch(3.2, 5, 100, (t) => volts(t, 0.02)),
    ...stretch(5, 8, 100, (t) => volts(t, 19.5)),
  ];
  const { outcome } = watchAll(sagWatch(target, parameters, null), readings);
  expect(outcome!.value).toBeCloseTo(14, 1);
  expect(outcome!.details["recovery"]!.value).toBeCloseTo(19.5, 1);
});

test("what the probes showed while they found their points is no squeeze", () => {
  const rub = [18.88, 20.19, 17.33, 20.19].map((v, k) => volts(k * 0.2857, v));
  const { outcome } = watchAll(sagWatch(target, { edge: 0.01, hold_s: 2 }, null), [
    ...rub,
    ...stretch(1.2, 4, 3.5, (t) => volts(t, 20.19)),
    ...stretch(4.1, 6.5, 3.5, (t) => volts(t, 19.48)),
    ...stretch(6.6, 10, 3.5, (t) => volts(t, 20.15)),
  ]);
  expect(outcome!.value).toBeCloseTo(19.48, 1);
});

test.each([3, 4, 5])(
  "a slow start that is most of a short trace is no noise, %i before",
  (before) => {
    const start = [15.94, 8.92, 13.09, 15.02, 15.91, 16.32, 16.52];
    const after = [17.6, 20.51, 20.53, 20.54, 20.55, 20.56, 20.56, 20.57];
    const voltage_V = [...Array<number>(before).fill(20.58), ...start, ...after];
    const time_s = voltage_V.map((_, k) => k * 0.286);
    const { figures } = analyseSag({ time_s, voltage_V, resolution_V: 0.01 }, { edge: 0.01 });
    expect(figures["plateau"]!.value).toBeGreaterThan(15);
    expect(figures["plateau"]!.value).toBeLessThan(16.6);
  },
);
