import { describe, expect, it } from "vitest";
import { sweepWatch } from "../../../workbench/watches/sweep.js";
import { HandHeld, OHMS } from "./hand-held.js";

const start = () => new HandHeld(sweepWatch(OHMS, { duration_s: 6 }, null), "resistance", 0.25);

/** Turned a little, rested a little: the motor is a generator while it turns. */
function turning(rest: (angle: number) => number | null, generated_ohm = 4) {
  let tick = 0;
  let angle = 0;
  return () => {
    const turns = tick++ % 4 < 2;
    if (turns) angle += 0.15;
    const ohm = rest(angle);
    return ohm === null ? null : ohm + (turns ? generated_ohm : 0);
  };
}

describe("a shaft turned by hand", () => {
  it("tells the resistance of the rests, not what the turning motor generates", () => {
    const meter = start()
      .show(null, 1)
      .show(
        turning(() => 0.6),
        20,
      );
    expect(meter.outcome).toMatchObject({ value: 0.6, overload: false });
    expect(meter.outcome!.finding).toBeUndefined();
    expect(meter.outcome!.details).toMatchObject({
      least: { value: 0.6 },
      greatest: { value: 0.6 },
    });
    expect(meter.prompts).toEqual(["turn-shaft", null]);
  });

  it("tells least and greatest where bars differ", () => {
    const bars = turning((angle) => (Math.floor(angle / 0.5) % 2 === 0 ? 0.6 : 1.4));
    const { details } = start().show(null, 1).show(bars, 20).outcome!;
    expect(details["least"]!.value).toBeCloseTo(0.6, 6);
    expect(details["greatest"]!.value).toBeCloseTo(1.4, 6);
  });

  it("finds an open bar that shows in two passes", () => {
    const burnt = turning((angle) => (Math.floor(angle / 0.5) % 4 === 3 ? null : 0.6));
    const meter = start().show(null, 1).show(burnt, 30);
    expect(meter.outcome).toMatchObject({
      value: null,
      overload: true,
      finding: "open at some angles of the shaft",
      details: { least: { value: expect.closeTo(0.6, 6) as number }, greatest: { value: null } },
    });
    // Twice the duration: one pass to find it, one to be sure.
    expect(meter.time_s).toBeGreaterThan(12);
  });

  it("does not blame the motor for one slip of a probe", () => {
    const meter = start()
      .show(null, 1)
      .show(
        turning(() => 0.6),
        2,
      )
      .show(null, 1);
    expect(
      meter.show(
        turning(() => 0.6),
        20,
      ).outcome,
    ).toMatchObject({ value: 0.6, overload: false });
  });

  it("does not count the time that the probes are off", () => {
    const meter = start()
      .show(null, 1)
      .show(
        turning(() => 0.6),
        3,
      )
      .show(null, 6);
    expect(meter.outcome).toBeNull();
    expect(
      meter.show(
        turning(() => 0.6),
        10,
      ).outcome,
    ).toMatchObject({ overload: false });
  });

  it("open at every angle counts only when proved", () => {
    const meter = start().show(null, 18).show(0.1, 2).show(null, 12);
    expect(meter.prompts).toEqual(["reseat", "touch-together", "return", null]);
    expect(meter.outcome).toMatchObject({ value: null, overload: true, zero: "proved" });
    expect(meter.outcome!.finding).toBeUndefined();
  });

  it("ignores coarse counts while the meter looks for its range", () => {
    const watch = sweepWatch(OHMS, { duration_s: 6 }, null);
    const coarse = new HandHeld(watch, "resistance", 0.25, 1000);
    coarse.show(null, 0.5).show(0, 1.5);
    const fine = new HandHeld(watch, "resistance", 0.25, 0.1);
    fine.time_s = coarse.time_s;
    expect(
      fine.show(
        turning(() => 0.6),
        20,
      ).outcome,
    ).toMatchObject({ value: 0.6, resolution: 0.1 });
  });
});
