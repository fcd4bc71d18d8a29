import { describe, expect, it } from "vitest";
import { changeWatch } from "../../../workbench/watches/change.js";
import { HandHeld, OHMS } from "./hand-held.js";

const start = (times = 1, interval_s = 0.1) =>
  new HandHeld(changeWatch(OHMS, { window_s: 0.5, times }, null), "resistance", interval_s);

describe("a switch under the trigger", () => {
  it("open, closed while pressed, open again: the value is what it shows closed", () => {
    const meter = start().show(null, 1).show(0.3, 1.5).show(null, 1);
    expect(meter.outcome).toMatchObject({ value: 0.3, unit: "Ω", overload: false });
    expect(meter.outcome!.finding).toBeUndefined();
    expect(meter.outcome!.details).toMatchObject({
      squeezed: { value: expect.closeTo(0.3, 6) as number },
      released: { value: null, note: "open circuit" },
      presses: { value: 1 },
      interruptions: { value: 0 },
    });
    expect(meter.prompts).toEqual(["release", null]);
  });

  it("asks for the trigger when nothing happens, and for the release when it has seen enough", () => {
    const meter = start().show(null, 4).show(0.3, 2).show(null, 1);
    expect(meter.prompts).toEqual(["squeeze", null, "release", null]);
  });

  it("is pressed as often as the step wants", () => {
    const meter = start(3);
    for (let press = 0; press < 3; press += 1) meter.show(null, 1).show(0.3, 1);
    expect(meter.outcome).toBeNull();
    expect(meter.show(null, 1).outcome!.details["presses"]).toMatchObject({ value: 3 });
  });

  it("never opens: a welded contact fails whatever its resistance", () => {
    const meter = start().show(null, 1).show(0.2, 10);
    expect(meter.outcome).toMatchObject({
      value: 0.2,
      finding: "it does not open when the trigger is released",
    });
  });

  it("never closes: proved open, by re-seating, tips together and back", () => {
    const meter = start().show(null, 9).show(0.1, 2).show(null, 12);
    expect(meter.prompts).toEqual(["squeeze", "reseat", null]);
    const proved = start().show(null, 17).show(0.1, 1.5).show(null, 12);
    expect(proved.prompts).toEqual(["squeeze", "reseat", "touch-together", "return", null]);
    expect(proved.outcome).toMatchObject({ value: null, overload: true, zero: "proved" });
  });

  it("does not take the tips held together for a closed switch", () => {
    const meter = start().show(null, 17).show(0.1, 5);
    expect(meter.outcome).toBeNull();
  });

  it("a contact that comes and goes in two presses is a finding; in one it may be the probe", () => {
    let tick = 0;
    const flicker = () => (tick++ % 4 === 3 ? null : 0.3);
    const once = start().show(null, 1).show(flicker, 1.5).show(null, 1);
    expect(once.outcome).toBeNull();
    expect(once.show(0.3, 1.5).show(null, 1).outcome!.finding).toBeUndefined();
    const twice = start().show(null, 1).show(flicker, 1.5).show(null, 1);
    twice.show(flicker, 1.5).show(null, 1);
    expect(twice.outcome!.finding).toBe("the contact comes and goes while the trigger is held");
    expect(twice.outcome!.details["interruptions"]!.value).toBeGreaterThan(3);
  });

  it("asks again where a slow meter was still looking for its range, and blames the contact only then", () => {
    // The display on its way down, then up again: never at rest.
    const hunting = () => {
      const shown = [39e6, 0, 0.9, 30];
      let at = 0;
      return () => shown[at++ % shown.length]!;
    };
    const slow = start(1, 0.28).show(null, 1).show(hunting(), 1.1).show(null, 1);
    expect(slow.outcome).toBeNull();
    expect(slow.prompts.at(-1)).toBe("squeeze");
    slow.show(0.3, 1.6).show(null, 1);
    expect(slow.outcome).toMatchObject({ value: 0.3 });
    expect(slow.outcome!.finding).toBeUndefined();
    const never = start(1, 0.28);
    for (let press = 0; press < 3; press += 1)
      never.show(null, 1).show(hunting(), 1.1).show(null, 1);
    expect(never.outcome!.finding).toBe("the closed contact never comes to rest");
  });

  it("tells bounce of milliseconds apart from a finding, and says what a slow meter cannot see", () => {
    const fast = start(1, 0.001).show(null, 1).show(0.3, 0.02).show(null, 0.003).show(0.3, 1);
    fast.show(null, 1);
    expect(fast.outcome).toMatchObject({ value: expect.closeTo(0.3, 6) as number });
    expect(fast.outcome!.details["interruptions"]).toEqual({ value: 0, unit: "" });
    const slow = start(1, 0.3).show(null, 2).show(0.3, 3).show(null, 2);
    expect(slow.outcome!.details["interruptions"]!.note).toBe(
      "shorter than 0.30 s cannot be seen with this meter",
    );
  });

  it("says a wrong dial before anything else", () => {
    const meter = new HandHeld(changeWatch(OHMS, { window_s: 0.5, times: 1 }, null), "voltage");
    expect(meter.show(0, 1).prompts).toEqual(["turn-dial"]);
  });

  it("ignores what was left on the probes by the step before", () => {
    const left = {
      time_s: 0,
      channel: "a",
      quantity: "resistance",
      coupling: null,
      value: 0.4,
      overload: false,
      unit: "Ω",
      resolution: 0.1,
      flags: [],
    } as const;
    const meter = new HandHeld(changeWatch(OHMS, { window_s: 0.5, times: 1 }, left));
    expect(meter.show(0.4, 10).outcome).toBeNull();
    expect(meter.show(null, 1).show(0.3, 1).show(null, 1).outcome).toMatchObject({ value: 0.3 });
  });

  it("works on volts too: a signal that comes with the trigger", () => {
    const volts = {
      quantity: "voltage",
      coupling: "dc",
      polarity: "as-marked",
      zero: "prove",
    } as const;
    const meter = new HandHeld(changeWatch(volts, { window_s: 0.5, times: 1 }, null), "voltage");
    meter.show(0.01, 1).show(3.28, 1.5).show(0, 1);
    expect(meter.outcome).toMatchObject({ value: expect.closeTo(3.28, 6) as number, unit: "V" });
  });

  it("a signal that never comes is proved, also after the display faded from the step before", () => {
    const volts = {
      quantity: "voltage",
      coupling: "dc",
      polarity: "as-marked",
      zero: "prove",
    } as const;
    const meter = new HandHeld(changeWatch(volts, { window_s: 0.6, times: 1 }, null), "voltage");
    let shown = 4.99;
    meter.show(() => (shown *= 0.8), 1).show(0, 12);
    expect(meter.prompts).toContain("reseat");
    meter.show(0, 12);
    expect(meter.prompts).toContain("show-known-source");
    meter.show(9.4, 5).show(0, 14);
    expect(meter.outcome).toMatchObject({ value: 0, zero: "proved" });
    expect(meter.outcome!.finding).toBeUndefined();
  });
});
