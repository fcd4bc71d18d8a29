import type { TimedReading } from "../../../protocols/reading.js";
import { describe, expect, test } from "vitest";
import { settleWatch } from "../../../workbench/watches/settle.js";
import type { WatchTarget } from "../../../workbench/measurement/watch.js";
import { Random } from "../measurement/random.js";
import { ohms, stretch, volts, watchAll } from "../measurement/stream.js";

const target: WatchTarget = {
  quantity: "voltage",
  coupling: "dc",
  polarity: "as-marked",
  zero: "prove",
};
const still = { window_s: 1, counts: 3 };

describe("holding a value", () => {
  test.each([2, 3, 10, 100, 1000])("at %i readings a second", (rate) => {
    const readings = [
      ...stretch(0, 1, rate, (t) => volts(t, 0)),
      ...stretch(1, 6, rate, (t) => volts(t, 19.84)),
    ];
    const { outcome, contacts } = watchAll(settleWatch(target, still, null), readings);
    expect(outcome).toMatchObject({ value: 19.84, unit: "V", polarity: "as-marked", zero: null });
    expect(outcome!.ended_s).toBeGreaterThan(1.4);
    expect(outcome!.ended_s).toBeLessThan(2.3);
    expect(contacts[0]).toBe("lifted");
    expect(contacts.at(-1)).toBe("held");
  });

  test("reversed probes: accepted and made positive where the step allows either", () => {
    const readings = stretch(0, 4, 3, (t) => volts(t, -19.84));
    const either = settleWatch({ ...target, polarity: "either" }, still, null);
    expect(watchAll(either, readings).outcome).toMatchObject({
      value: 19.84,
      polarity: "reversed",
    });
    const marked = settleWatch(target, still, null);
    expect(watchAll(marked, readings).outcome).toMatchObject({
      value: -19.84,
      polarity: "as-marked",
    });
  });

  test("overload on volts is no open circuit and holds nothing", () => {
    const readings = stretch(0, 30, 3, (t) => volts(t, 0, { value: null, overload: true }));
    expect(watchAll(settleWatch(target, still, null), readings).outcome).toBeNull();
  });
});

describe("what is no reading yet", () => {
  const watching = (readings: readonly TimedReading[], onOhms = false) => {
    const quantity = onOhms ? ("resistance" as const) : ("voltage" as const);
    const coupling = onOhms ? null : ("dc" as const);
    return watchAll(settleWatch({ ...target, quantity, coupling }, still, null), readings);
  };

  test.each([3, 10, 100, 1000])("drifting open probes, %i readings a second", (rate) => {
    const ghost = (t: number) => 0.6 + 0.3 * Math.sin(2.1 * t) + 0.2 * Math.sin(5.3 * t);
    expect(watching(stretch(0, 20, rate, (t) => volts(t, ghost(t)))).outcome).toBeNull();
  });

  test.each([3, 10, 100])("a probe that rubs, %i readings a second", (rate) => {
    const random = new Random(4);
    const rubbing = stretch(0, 15, rate, (t) => volts(t, 19.84 - 3 * random.next()));
    expect(watching(rubbing).outcome).toBeNull();
  });

  test.each([3, 10, 100])("a capacitor still charging, %i readings a second", (rate) => {
    const charging = (t: number) => 400 * (1 - Math.exp(-t / 2));
    const readings = stretch(0, 40, rate, (t) => ohms(t, charging(t)));
    const { outcome } = watching(readings, true);
    // Within a count and a half of the end, where it is a count from it at 16.6 s.
    expect(Math.abs(outcome!.value! - 400)).toBeLessThan(0.15);
    expect(outcome!.ended_s).toBeGreaterThan(13);
  });

  test.each([3, 10, 100])("ohms that creep on and on, %i readings a second", (rate) => {
    const readings = stretch(0, 20, rate, (t) => ohms(t, 100 + 0.5 * t));
    expect(watching(readings, true).outcome).toBeNull();
  });

  test("a range change: held in the new range, of its readings alone", () => {
    const coarse = stretch(0, 0.8, 10, (t) => ohms(t, 120, { resolution: 1 }));
    const fine = stretch(0.8, 5, 10, (t) => ohms(t, 123.4));
    const { outcome } = watching([...coarse, ...fine], true);
    expect(outcome!.value).toBeCloseTo(123.4, 6);
    expect(outcome!.started_s).toBeGreaterThanOrEqual(0.8);
  });

  test("a contact that bounces: held after the last bounce", () => {
    const bouncing = stretch(0, 1, 100, (t) => volts(t, Math.floor(t * 20) % 2 === 0 ? 19.84 : 0));
    const { outcome } = watching([...bouncing, ...stretch(1, 4, 100, (t) => volts(t, 19.84))]);
    expect(outcome!.started_s).toBeGreaterThanOrEqual(0.95);
  });
});

describe("what makes the number untrustworthy", () => {
  test("the wrong function: says which the step wants and which the meter is on", () => {
    const readings = stretch(0, 5, 3, (t) => volts(t, 19.84, { coupling: "ac" }));
    const { outcome, prompts } = watchAll(settleWatch(target, still, null), readings);
    expect(outcome).toBeNull();
    expect(prompts).toEqual([
      {
        kind: "turn-dial",
        to: { quantity: "voltage", coupling: "dc" },
        from: { quantity: "voltage", coupling: "ac" },
      },
    ]);
  });

  test.each(["hold", "relative", "low-battery", "min", "max"] as const)("the %s sign", (flag) => {
    const readings = stretch(0, 5, 3, (t) => volts(t, 19.84, { flags: ["auto", flag] }));
    const { outcome, prompts } = watchAll(settleWatch(target, still, null), readings);
    expect(outcome).toBeNull();
    expect(prompts).toEqual([{ kind: "clear-flag", flag }]);
  });
});

describe("the reading left from the step before", () => {
  const left = volts(0, 19.84);

  test("is not held, and asks for the probes to be re-seated when it stays", () => {
    const readings = stretch(0, 10, 3, (t) => volts(t, 19.84));
    const { outcome, prompts } = watchAll(settleWatch(target, still, left), readings);
    expect(outcome).toBeNull();
    expect(prompts).toEqual([{ kind: "reseat" }]);
  });

  test("is held when the probes have been lifted in between", () => {
    const readings = [
      ...stretch(0, 1, 3, (t) => volts(t, 19.84)),
      ...stretch(1, 2, 3, (t) => volts(t, 0.01)),
      ...stretch(2, 5, 3, (t) => volts(t, 19.84)),
    ];
    const { outcome } = watchAll(settleWatch(target, still, left), readings);
    expect(outcome?.value).toBe(19.84);
    expect(outcome?.started_s).toBeGreaterThanOrEqual(2);
  });
});

describe("proving a zero", () => {
  const zero = (from: number, to: number) => stretch(from, to, 3, (t) => volts(t, 0));
  const source = (from: number, to: number) => stretch(from, to, 3, (t) => volts(t, 12.6));

  test("re-seat, known source, back, the same again", () => {
    const readings = [...zero(0, 12), ...source(12, 14), ...zero(14, 25)];
    const { outcome, prompts } = watchAll(settleWatch(target, still, null), readings);
    expect(prompts.map(({ kind }) => kind)).toEqual(["reseat", "show-known-source", "return"]);
    expect(outcome).toMatchObject({ value: 0, zero: "proved" });
    expect(outcome!.started_s).toBeGreaterThanOrEqual(14);
  });

  test("no zero without the known source", () => {
    const { outcome } = watchAll(settleWatch(target, still, null), zero(0, 120));
    expect(outcome).toBeNull();
  });

  test("a value after re-seating is the step's reading: the contact was bad", () => {
    const { outcome } = watchAll(settleWatch(target, still, null), [
      ...zero(0, 6),
      ...stretch(6, 9, 3, (t) => volts(t, 19.84)),
    ]);
    expect(outcome).toMatchObject({ value: 19.84, zero: null });
  });

  test("the known source is not taken for the step's reading", () => {
    const readings = [...zero(0, 12), ...source(12, 60)];
    expect(watchAll(settleWatch(target, still, null), readings).outcome).toBeNull();
  });

  test("a value on coming back is the step's reading", () => {
    const readings = [
      ...zero(0, 12),
      ...source(12, 14),
      ...zero(14, 16),
      ...stretch(16, 20, 3, (t) => volts(t, 19.84)),
    ];
    const { outcome } = watchAll(settleWatch(target, still, null), readings);
    expect(outcome).toMatchObject({ value: 19.84, zero: null });
  });

  test("accepted at once where the step says so", () => {
    const watch = settleWatch({ ...target, zero: "accept" }, still, null);
    expect(watchAll(watch, zero(0, 5)).outcome).toMatchObject({ value: 0, zero: "accepted" });
  });

  test("amperes: never asks to show the meter a source", () => {
    const watch = settleWatch({ ...target, quantity: "current" }, still, null);
    const none = stretch(0, 20, 3, (t) => volts(t, 0, { quantity: "current", unit: "A" }));
    const { outcome, prompts } = watchAll(watch, none);
    expect(prompts.map(({ kind }) => kind)).toEqual(["reseat"]);
    expect(outcome?.zero).toBe("proved");
  });
});

describe("proving an open circuit", () => {
  const onOhms: WatchTarget = { ...target, quantity: "resistance", coupling: null };
  const open = (from: number, to: number) => stretch(from, to, 3, (t) => ohms(t, null));

  test("re-seat, probes together, back, the same again", () => {
    const readings = [...open(0, 12), ...stretch(12, 14, 3, (t) => ohms(t, 0.2)), ...open(14, 25)];
    const { outcome, prompts } = watchAll(settleWatch(onOhms, still, null), readings);
    expect(prompts.map(({ kind }) => kind)).toEqual(["reseat", "touch-together", "return"]);
    expect(outcome).toMatchObject({ value: null, overload: true, zero: "proved" });
  });

  test("near zero ohms is a reading like any other", () => {
    const readings = stretch(0, 3, 3, (t) => ohms(t, 0.1));
    expect(watchAll(settleWatch(onOhms, still, null), readings).outcome?.value).toBe(0.1);
  });
});
