import { describe, expect, it } from "vitest";
import { Diode } from "../../../drivers/practice/circuit/diode.js";
import { Resistor, Source } from "../../../drivers/practice/circuit/elements.js";
import { Network } from "../../../drivers/practice/circuit/network.js";
import { Protection } from "../../../drivers/practice/circuit/protection.js";
import { PRACTICE_KINDS } from "../../../drivers/practice/kinds.js";
import { ntc_ohm } from "../../../drivers/practice/tools/thermistor.js";
import { ask, settled } from "./harness.js";

describe("the thermistor", () => {
  // B equation with B = 3950 K and 10 kΩ at 25 °C, values computed apart from this program.
  it.each([
    [0, 33620.6],
    [25, 10000],
    [50, 3588.2],
    [85, 1086.7],
  ])("has the resistance of the B equation at %f °C", (celsius, ohm) => {
    expect(Math.abs(ntc_ohm(celsius) / ohm - 1)).toBeLessThan(5e-5);
  });
});

describe("the junction", () => {
  /** Voltage across a junction that a source drives through a resistance. */
  function across(volt: number, ohm: number): number {
    const network = new Network();
    network.add(new Source(network.node("a"), 0, volt, ohm));
    network.add(new Diode(network.node("a"), 0));
    for (let n = 0; n < 200; n += 1) network.step(0.001);
    return network.voltage(network.node("a"));
  }

  it("carries one milliampere at half a volt, and a decade more per ln 10 slopes", () => {
    const one = across(3.2, 2700);
    expect((3.2 - one) / 2700).toBeCloseTo(1e-3, 5);
    expect(one).toBeCloseTo(0.5, 3);
    // Shockley: V rises by n·Vt·ln(ratio of currents); n·Vt is 45 mV here.
    const two = across(32, 3150);
    const ratio = (32 - two) / 3150 / ((3.2 - one) / 2700);
    expect(two - one).toBeCloseTo(0.045 * Math.log(ratio), 4);
  });

  it("blocks the other way", () => {
    expect(across(-3, 1000)).toBeCloseTo(-3, 3);
  });
});

describe("the protection of a pack", () => {
  it("lets a starting motor pass, trips on a stalled one, and comes back without a load", () => {
    const protection = new Protection();
    for (let n = 0; n < 100; n += 1) protection.watch(80, 12, 0.001);
    protection.watch(3, 19, 0.001);
    expect(protection.tripped).toBe(false);
    for (let n = 0; n < 1300; n += 1) protection.watch(80, 12, 0.001);
    expect(protection.tripped).toBe(true);
    for (let n = 0; n < 2000; n += 1) protection.watch(0.004, 0.01, 0.001);
    expect(protection.tripped).toBe(true);
    for (let n = 0; n < 600; n += 1) protection.watch(0.001, 18, 0.001);
    expect(protection.tripped).toBe(false);
  });

  it("trips at once on a short", () => {
    const protection = new Protection();
    protection.watch(300, 1, 0.001);
    expect(protection.tripped).toBe(true);
  });
});

describe("a resistor", () => {
  it("carries what Ohm's law says", () => {
    const network = new Network();
    network.add(new Source(network.node("a"), 0, 12, 1e-6));
    const resistor = network.add(new Resistor(network.node("a"), 0, 4));
    network.step(0.001);
    expect(resistor.ampere).toBeCloseTo(3, 5);
  });
});

describe("every kind of tool", () => {
  it.each(PRACTICE_KINDS.map(({ kind }) => kind))(
    "%s has the known source of the bench",
    async (kind) => {
      const { value } = await settled(ask("known-plus", "known-minus"), { kind });
      expect(value).toBeCloseTo(9.4, 1);
    },
  );

  it("names its faults in words, once each, and tours only its own points", () => {
    for (const { faults, points, tour } of PRACTICE_KINDS) {
      expect(new Set(faults.map(({ id }) => id)).size).toBe(faults.length);
      for (const { label, does } of faults) {
        expect(label).toMatch(/^[A-Z]/);
        expect(does).toMatch(/[.]$/);
      }
      for (const { red, black } of tour)
        expect(points).toEqual(expect.arrayContaining([red, black]));
    }
  });
});
