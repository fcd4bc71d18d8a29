import { expect, test } from "vitest";
import { analyseSag } from "../../../workbench/measurement/sag/analyse.js";

test("a trace without noise still has its squeeze: its only change is the squeeze itself", () => {
  const time_s = Array.from({ length: 200 }, (_, n) => n * 0.05);
  const voltage_V = time_s.map((t) => (t >= 2 && t < 5 ? 15.6 : 18));
  const { squeezes, figures } = analyseSag({ time_s, voltage_V });
  expect(squeezes).toHaveLength(1);
  expect(figures["baseline"]?.value).toBeCloseTo(18, 6);
  expect(figures["plateau"]?.value).toBeCloseTo(15.6, 6);
});

test.each([true, false])("whole volts are no coarse meter (current recorded: %s)", (recorded) => {
  const time_s = Array.from({ length: 300 }, (_, n) => n / 50);
  const loaded = (t: number) => t >= 1 && t < 2.5;
  const voltage_V = time_s.map((t) => (loaded(t) ? 17 : 18));
  const current_A = recorded ? time_s.map((t) => (loaded(t) ? 10 : 0)) : undefined;
  const { squeezes, figures } = analyseSag({ time_s, voltage_V, current_A });
  expect(squeezes).toHaveLength(1);
  expect(figures["sag"]?.value).toBeCloseTo(1, 6);
  if (recorded) expect(figures["internalResistance"]?.value).toBeCloseTo(0.1, 6);
});

test("textbook source: 12.0 V and 0.05 Ω at 3.00 Ω is 3.93 A at 11.8 V (Serway and Jewett, from memory)", () => {
  const time_s = Array.from({ length: 200 }, (_, n) => n * 0.05);
  const terminal_V = (12 * 3) / 3.05;
  expect(terminal_V).toBeCloseTo(11.8, 1);
  const voltage_V = time_s.map((t) => (t >= 2 && t < 5 ? Number(terminal_V.toFixed(3)) : 12));
  const { figures } = analyseSag({ time_s, voltage_V }, { load_ohm: 3, edge: 0.01 });
  expect(figures["internalResistance"]?.value).toBeCloseTo(0.05, 3);
});
