import { describe, expect, it } from "vitest";
import { Capacitor, Resistor, Source } from "../../../drivers/practice/circuit/elements.js";
import { Motor } from "../../../drivers/practice/circuit/motor.js";
import type { MotorData } from "../../../drivers/practice/circuit/motor.js";
import { Network } from "../../../drivers/practice/circuit/network.js";
import { Pack } from "../../../drivers/practice/circuit/pack.js";

/** A source and a load between one node and the bench top. */
function loaded(volt: number, ohm: number, load_ohm: number) {
  const network = new Network();
  const source = network.add(new Source(network.node("plus"), 0, volt, ohm));
  const load = network.add(new Resistor(network.node("plus"), 0, load_ohm));
  network.step(0.001);
  return { source, load, volt: network.voltage(network.node("plus")) };
}

describe("the network", () => {
  // Serway & Jewett, Physics for Scientists and Engineers, Example 28.1 (from memory, recomputed):
  // 12.0 V, internal 0.050 ohm, load 3.00 ohm.
  it("gives the textbook's terminal voltage of a battery under load", () => {
    const { source, load, volt } = loaded(12, 0.05, 3);
    expect(source.ampere).toBeCloseTo(3.93, 2);
    expect(volt).toBeCloseTo(11.8, 1);
    expect(load.ampere ** 2 * 3).toBeCloseTo(46.44, 2);
    expect(source.ampere ** 2 * 0.05).toBeCloseTo(0.774, 3);
  });

  it("gives the textbook's values for the aged battery", () => {
    const { source, volt } = loaded(12, 2, 3);
    expect(source.ampere).toBeCloseTo(2.4, 6);
    expect(volt).toBeCloseTo(7.2, 6);
  });

  it("follows the analytic step response of a first-order lag, with the error of its order", () => {
    for (const dt_s of [1e-5, 1e-4, 1e-3]) {
      const network = new Network();
      network.add(new Source(network.node("in"), 0, 10, 1000));
      network.add(new Capacitor(network.node("in"), 0, 100e-6, 1e-6));
      for (let n = 0; n < Math.round(0.1 / dt_s); n += 1) network.step(dt_s);
      // One time constant after the step: 1 - 1/e. Backward Euler lags by dt/2τ of the rest.
      const error = 10 * (1 - Math.exp(-1)) - network.voltage(network.node("in"));
      expect(error / ((10 * Math.exp(-1) * dt_s) / 0.2)).toBeCloseTo(1, 1);
    }
  });

  it("does not blow up on a stiff network with a long step", () => {
    const network = new Network();
    network.add(new Source(network.node("in"), 0, 20, 1e-4));
    network.add(new Capacitor(network.node("in"), 0, 1e-9, 1e-6));
    network.add(new Resistor(network.node("in"), network.node("far"), 1e11));
    for (let n = 0; n < 100; n += 1) network.step(0.005);
    expect(network.voltage(network.node("in"))).toBeCloseTo(20, 6);
  });
});

describe("the pack", () => {
  const data = {
    cells: 5,
    capacity_Ah: 1000,
    internal_ohm: 0.1,
    relaxation: [
      { ohm: 0.05, tau_s: 1 },
      { ohm: 0.02, tau_s: 20 },
    ],
  };

  it("relaxes under constant current as the sum of exponentials does, at any step", () => {
    for (const dt_s of [0.001, 0.5]) {
      const network = new Network();
      const pack = network.add(new Pack(network.node("plus"), 0, data, 0.9));
      const before = pack.openCircuit_volt;
      // A source of high resistance draws a constant 10 A.
      network.add(new Source(network.node("plus"), 0, -1e7, 1e6));
      for (let n = 0; n < Math.round(2 / dt_s); n += 1) network.step(dt_s);
      const drop = 10 * (0.1 + 0.05 * (1 - Math.exp(-2)) + 0.02 * (1 - Math.exp(-0.1)));
      expect(network.voltage(network.node("plus"))).toBeCloseTo(before - drop, 3);
    }
  });

  it("counts the charge that was taken", () => {
    const network = new Network();
    const pack = network.add(new Pack(network.node("plus"), 0, { ...data, capacity_Ah: 2 }, 0.9));
    network.add(new Source(network.node("plus"), 0, -2e6, 1e6));
    for (let n = 0; n < 3600; n += 1) network.step(0.1);
    // 2 A for 360 s out of 2 Ah.
    expect(pack.charge).toBeCloseTo(0.9 - 0.1, 4);
  });
});

describe("the motor", () => {
  const data: MotorData = {
    winding_ohm: 0.3,
    winding_H: 60e-6,
    ke: 8.4e-3,
    inertia: 1.5e-5,
    dry_Nm: 8.4e-3 * 1.5,
    viscous: 0,
  };

  function run(volt: number, locked: boolean, seconds: number, dt_s = 0.0005) {
    const network = new Network();
    const source = network.add(new Source(network.node("a"), 0, volt, 1e-6));
    const motor = network.add(new Motor(network.node("a"), 0, data));
    motor.locked = locked;
    let delivered_J = 0;
    let heat_J = 0;
    let friction_J = 0;
    for (let n = 0; n < Math.round(seconds / dt_s); n += 1) {
      network.step(dt_s);
      delivered_J += network.voltage(network.node("a")) * source.ampere * dt_s;
      heat_J += motor.ampere ** 2 * data.winding_ohm * dt_s;
      friction_J += data.dry_Nm * motor.speed * dt_s;
    }
    const kinetic_J = 0.5 * data.inertia * motor.speed ** 2;
    return { motor, delivered_J, heat_J, friction_J, kinetic_J };
  }

  // Relations of the permanent-magnet motor: Is = V/R, ω0 = (V − I0·R)/Ke, and the maximum
  // efficiency (1 − √(I0/Is))²; standard text results.
  it("draws V/R with the shaft locked", () => {
    expect(run(18, true, 0.1).motor.ampere).toBeCloseTo(60, 3);
  });

  it("runs at (V − I0·R)/Ke without load and draws I0", () => {
    const { motor } = run(18, false, 2);
    expect(motor.ampere).toBeCloseTo(1.5, 4);
    expect(motor.speed).toBeCloseTo((18 - 1.5 * 0.3) / 8.4e-3, 1);
  });

  it("has its best efficiency at √(I0·Is), of the textbook's size", () => {
    const best = [...Array(600).keys()].map((n) => {
      const ampere = 1.5 + n * 0.05;
      const speed = (18 - ampere * data.winding_ohm) / data.ke;
      const load_Nm = data.ke * ampere - data.dry_Nm;
      const network = new Network();
      network.add(new Source(network.node("a"), 0, 18, 1e-6));
      const loadedMotor = { ...data, dry_Nm: data.dry_Nm + load_Nm };
      const motor = network.add(new Motor(network.node("a"), 0, loadedMotor));
      motor.speed = speed;
      for (let k = 0; k < 40; k += 1) network.step(0.02);
      return { ampere: motor.ampere, share: (load_Nm * motor.speed) / (18 * motor.ampere) };
    });
    const top = best.reduce((a, b) => (b.share > a.share ? b : a));
    expect(top.share).toBeCloseTo(0.708772, 4);
    expect(top.ampere).toBeCloseTo(Math.sqrt(1.5 * 60), 0);
  });

  it("keeps the balance of energy while it starts", () => {
    const { delivered_J, heat_J, friction_J, kinetic_J } = run(18, false, 0.3, 0.00005);
    expect((heat_J + friction_J + kinetic_J) / delivered_J).toBeCloseTo(1, 2);
  });

  it("stays at rest when the current cannot overcome its friction", () => {
    // 0.3 V over 0.3 ohm is 1 A; 1.5 A would be needed.
    expect(run(0.3, false, 0.5).motor.speed).toBe(0);
  });

  it("generates its back-EMF when a hand turns it", () => {
    const network = new Network();
    const motor = network.add(new Motor(network.node("a"), 0, data));
    network.add(new Resistor(network.node("a"), 0, 1e7));
    motor.turnedAt = 10;
    for (let n = 0; n < 50; n += 1) network.step(0.001);
    expect(network.voltage(network.node("a"))).toBeCloseTo(0.084, 6);
  });
});
