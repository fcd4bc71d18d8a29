import { expect, test } from "vitest";
import { analyseSag } from "../../../workbench/measurement/sag/analyse.js";
import { FAIR_PACK, simulatePack } from "./pack.js";
import { Random } from "./random.js";

/** A trace at 100 readings a second from a voltage and a current over time. */
function traceOf(length_s: number, at: (time_s: number) => [volts: number, amperes: number]) {
  const random = new Random(5);
  const time_s = Array.from({ length: length_s * 100 }, (_, k) => k / 100);
  const noisy = (x: number, noise: number) => x + noise * random.normal();
  return {
    time_s,
    voltage_V: time_s.map((t) => Math.round(1000 * noisy(at(t)[0], 0.002)) / 1000),
    current_A: time_s.map((t) => Math.round(100 * noisy(at(t)[1], 0.02)) / 100),
  };
}

const voltageOf = ({ time_s, voltage_V }: ReturnType<typeof traceOf>) => ({ time_s, voltage_V });

test("several squeezes are told apart", () => {
  const noise = { noise_V: 0.002, noise_A: 0.02, count_V: 0.001, count_A: 0.01, seed: 2 };
  const squeezes = [
    [1, 2],
    [4, 5.5],
    [8, 9],
  ] as const;
  const { time_s, voltage_V } = simulatePack(FAIR_PACK, {
    squeezes,
    length_s: 12,
    rate: 100,
    ...noise,
  });
  const found = analyseSag({ time_s, voltage_V }).squeezes;
  expect(found.map(({ kind }) => kind)).toEqual(["ran-up", "ran-up", "ran-up"]);
  found.forEach(({ edge_s, release_s }, k) => {
    expect(edge_s).toBeCloseTo(squeezes[k]![0], 1);
    expect(release_s).toBeCloseTo(squeezes[k]![1], 1);
  });
});

test("a stalled tool never rises from its floor", () => {
  const stalled = { ...FAIR_PACK, inrush_A: 60, run_A: 60 };
  const noise = { noise_V: 0.002, noise_A: 0.02, count_V: 0.001, count_A: 0.01, seed: 2 };
  const { time_s, voltage_V } = simulatePack(stalled, {
    squeezes: [[1, 2]],
    length_s: 6,
    rate: 100,
    ...noise,
  });
  const [squeeze] = analyseSag({ time_s, voltage_V }).squeezes;
  expect(squeeze!.kind).toBe("stayed-down");
  expect(squeeze!.notes[0]).toContain("stalled");
});

test.each(["with", "without"])("a pack that trips its protection, %s a current", (which) => {
  const trace = traceOf(8, (t) => {
    if (t < 1 || t > 4) return [19.8, 0];
    return t < 1.25 ? [14.5, 60] : [0.02, 0];
  });
  const { squeezes, figures } = analyseSag(which === "with" ? trace : voltageOf(trace));
  expect(squeezes.map(({ kind }) => kind)).toEqual(["collapsed"]);
  expect(figures["plateau"]!.value).toBeCloseTo(14.5, 2);
  expect(figures["baseline"]!.value).toBeCloseTo(19.8, 2);
});

test("a trace that begins under load has no baseline, and says so", () => {
  const trace = voltageOf(traceOf(6, (t) => (t < 2 ? [18.3, 15] : [19.8, 0])));
  const { squeezes, figures } = analyseSag(trace);
  expect(squeezes).toHaveLength(1);
  expect(figures["baseline"]).toMatchObject({ value: null });
  expect(figures["baseline"]!.note).toContain("begins under load");
  expect(figures["plateau"]!.value).toBeCloseTo(18.3, 2);
});

test("lifted probes at the start are no load", () => {
  const trace = voltageOf(
    traceOf(8, (t) => {
      if (t < 1) return [0, 0];
      return t > 3 && t < 4 ? [18.3, 15] : [19.8, 0];
    }),
  );
  const { squeezes, figures } = analyseSag(trace);
  expect(squeezes).toHaveLength(1);
  expect(figures["baseline"]!.value).toBeCloseTo(19.8, 2);
});

test("a trace that ends under load has no recovery, and says so", () => {
  const { figures } = analyseSag(traceOf(6, (t) => (t < 3 ? [19.8, 0] : [18.2, 20])));
  expect(figures["recovery"]!.note).toContain("ends under load");
  expect(figures["internalResistance"]!.value).toBeCloseTo(0.08, 3);
});

test("a known load stands in for the current", () => {
  const trace = voltageOf(traceOf(6, (t) => (t > 2 && t < 4 ? [18, 0] : [20, 0])));
  const { figures } = analyseSag(trace, { load_ohm: 9 });
  expect(figures["internalResistance"]!.value).toBeCloseTo(1, 2);
});

const QUIET = { noise_V: 0.002, noise_A: 0.02, count_V: 0.001, count_A: 0.01, seed: 7 };

test("a trace too slow to see the floor says so, and still has its plateau", () => {
  const slow = { squeezes: [[3, 7]] as const, length_s: 20, rate: 3, ...QUIET };
  const { time_s, voltage_V } = simulatePack(FAIR_PACK, slow);
  const { figures, squeezes } = analyseSag({ time_s, voltage_V });
  expect(squeezes).toHaveLength(1);
  expect(figures["floor"]).toMatchObject({ value: null });
  expect(figures["floor"]!.note).toContain("too slow to see the floor");
  expect(figures["plateau"]!.value).toBeGreaterThan(17.5);
});

test("several squeezes, one of them a stall: each has its own kind", () => {
  const run = { ...FAIR_PACK };
  const first = simulatePack(run, { squeezes: [[1, 2.5]], length_s: 6, rate: 100, ...QUIET });
  const stalled = { ...FAIR_PACK, run_A: FAIR_PACK.inrush_A };
  const second = simulatePack(stalled, { squeezes: [[1, 2]], length_s: 6, rate: 100, ...QUIET });
  const found = analyseSag({
    time_s: [...first.time_s, ...second.time_s.map((t) => t + 6)],
    voltage_V: [...first.voltage_V, ...second.voltage_V],
  });
  expect(found.squeezes.map(({ kind }) => kind)).toEqual(["ran-up", "stayed-down"]);
});

test.each([0.0001, 0.25, 0.5, 0.75, 0.9999])(
  "at 10 readings a second the interval covers what an edge hides (first reading at %d of it)",
  (phase) => {
    const recording = { squeezes: [[1, 3]] as const, length_s: 12, rate: 10, ...QUIET, phase };
    const figure = analyseSag(simulatePack(FAIR_PACK, recording)).figures["internalResistance"]!;
    expect(Math.abs(figure.value! - FAIR_PACK.r0_ohm)).toBeLessThan(2.6 * figure.u!);
    const at100 = analyseSag(simulatePack(FAIR_PACK, { ...recording, rate: 100 }));
    expect(figure.u!).toBeGreaterThan(2 * at100.figures["internalResistance"]!.u!);
  },
);
