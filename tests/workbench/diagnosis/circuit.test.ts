import { expect, test } from "vitest";
import { Circuit } from "../../../workbench/diagnosis/circuit.js";

const resistor = (a: number, b: number, ohm: number) => ({ a, b, ohm, volt: 0 });

test("a battery of 12.0 V and 0.050 Ω on 3.00 Ω: 3.93 A and 11.8 V at its terminals", () => {
  // Serway & Jewett, Physics for Scientists and Engineers, Example 28.1 (from memory, recomputed).
  const network = new Circuit(2, [{ a: 0, b: 1, ohm: 0.05, volt: 12 }, resistor(0, 1, 3)]).with([]);
  expect(network.voltage(0, 1) / 3).toBeCloseTo(3.93, 2);
  expect(network.voltage(0, 1)).toBeCloseTo(11.8, 1);
});

test("the same battery, aged to 2.00 Ω: 2.40 A and 7.20 V", () => {
  const network = new Circuit(2, [{ a: 0, b: 1, ohm: 2, volt: 12 }, resistor(0, 1, 3)]).with([]);
  expect(network.voltage(0, 1) / 3).toBeCloseTo(2.4, 3);
  expect(network.voltage(0, 1)).toBeCloseTo(7.2, 3);
});

test("twelve equal resistors along the edges of a cube: 5/6, 3/4 and 7/12", () => {
  // A standard exercise of circuit textbooks (from memory); R = 1 Ω.
  const edges = [];
  for (let a = 0; a < 8; a += 1) {
    for (const bit of [1, 2, 4]) if ((a & bit) === 0) edges.push(resistor(a, a | bit, 1));
  }
  const cube = new Circuit(8, edges).with([]);
  expect(cube.resistance(0, 7)).toBeCloseTo(5 / 6, 6);
  expect(cube.resistance(0, 3)).toBeCloseTo(3 / 4, 6);
  expect(cube.resistance(0, 1)).toBeCloseTo(7 / 12, 6);
});

test("an unbalanced Wheatstone bridge reads its textbook Thévenin voltage and resistance", () => {
  // Arms 100 and 200 against 300 and 400 ohm on 10 V: two dividers and their parallel resistances.
  const bridge = new Circuit(4, [
    { a: 0, b: 1, ohm: 1e-6, volt: 10 },
    resistor(0, 2, 100),
    resistor(2, 1, 200),
    resistor(0, 3, 300),
    resistor(3, 1, 400),
  ]).with([]);
  expect(bridge.voltage(2, 3)).toBeCloseTo((10 * 200) / 300 - (10 * 400) / 700, 4);
  expect(bridge.resistance(2, 3)).toBeCloseTo((100 * 200) / 300 + (300 * 400) / 700, 4);
});

test("a floating island has a solution and no voltage of its own", () => {
  const network = new Circuit(4, [{ a: 0, b: 1, ohm: 0.1, volt: 18 }, resistor(2, 3, 5)]).with([]);
  expect(network.voltage(2, 3)).toBeCloseTo(0, 6);
  expect(network.resistance(2, 3)).toBeCloseTo(5, 5);
  expect(network.resistance(0, 2)).toBeGreaterThan(1e8);
});
