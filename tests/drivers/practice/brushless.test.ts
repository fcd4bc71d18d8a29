import { describe, expect, it } from "vitest";
import { OHMS, VOLTS, ask, settled } from "./harness.js";

const KIND = "cordless-brushless";
const AC = { quantity: "voltage", coupling: "ac" } as const;
const RUNS = { case: "open", pack: "in", trigger: "squeezed" } as const;
const PHASES = ["u", "v", "w"] as const;

/** What stands at each motor phase against the controller's minus while the trigger is squeezed. */
async function running(dial: typeof AC | typeof VOLTS, faults: readonly string[] = [], seed = 1) {
  const read = (phase: string) =>
    settled(ask(`phase-${phase}`, "controller-minus", RUNS, dial), { kind: KIND, faults, seed });
  return (await Promise.all(PHASES.map(read))).map(({ value }) => value ?? Number.NaN);
}

const spread = (values: readonly number[]) => Math.max(...values) / Math.min(...values);

describe("the running phases of a brushless tool", () => {
  it.each([1, 2, 3])("are alike on AC within three in a hundred, seed %i", async (seed) => {
    const values = await running(AC, [], seed);
    expect(Math.min(...values)).toBeGreaterThan(3);
    expect(spread(values)).toBeLessThan(1.03);
  });

  it("show half of the supply on DC: each is high a third of the time, low a third, between a third", async () => {
    for (const value of await running(VOLTS)) expect(value).toBeCloseTo(9.7, 0);
  });

  it("show √(2/3) of half the supply on a true r.m.s. AC function of any bandwidth, and less on others", async () => {
    // Six-step block: four sixths at ± half the supply, two sixths in the middle.
    const ideal = (19.4 / 2) * Math.sqrt(2 / 3);
    for (const seed of [1, 2, 3, 4]) {
      const [u = 0] = await running(AC, [], seed);
      expect(u).toBeLessThan(ideal * 1.03);
      expect(u).toBeGreaterThan(ideal * 0.55);
    }
  });

  it.each([
    ["half-bridge-w-dead", 2],
    ["bridge-high-v-open", 1],
    ["joint-v-burnt", 1],
  ] as const)("%s: one phase is well below the other two", async (fault, at) => {
    const values = await running(AC, [fault]);
    const others = values.filter((_, n) => n !== at);
    expect(values[at]).toBeLessThan(0.85 * Math.min(...others));
    expect(spread(others)).toBeLessThan(1.1);
  });

  it("stay alike with shorted turns: the bridge forces them, and the pack shows the current", async () => {
    expect(spread(await running(AC, ["winding-v-shorted"]))).toBeLessThan(1.1);
  });

  it.each([
    "winding-u-open",
    "lead-w-open",
    "controller-silent",
    "controller-dead",
    "sensors-unplugged",
    "bridge-low-u-shorted",
    "trigger-dead",
    "motor-seized",
    "gear-jam",
  ])("%s: nothing stays on any phase", async (fault) => {
    for (const value of await running(AC, [fault])) expect(value).toBeLessThan(0.5);
  });
});

describe("the sensors of a brushless tool", () => {
  const sensors = (faults: readonly string[]) =>
    Promise.all(
      PHASES.map(async (x) => {
        const request = ask(`sensor-${x}`, "controller-minus", { ...RUNS, trigger: "released" });
        return (await settled(request, { kind: KIND, faults })).value ?? 0;
      }),
    );

  it("are never all alike", async () => {
    const high = (await sensors([])).filter((volt) => volt > 2.5).length;
    expect([1, 2]).toContain(high);
  });

  it("are all pulled up when their cable is lost", async () => {
    for (const volt of await sensors(["sensors-unplugged"])) expect(volt).toBeGreaterThan(4.5);
  });
});

it("a broken lead is open to its winding, a burnt joint is not: freed, the lead is sound", async () => {
  const through = (red: string, black: string, fault: string) =>
    settled(ask(red, black, { case: "open", motor: "disconnected" }, OHMS), {
      kind: KIND,
      faults: [fault],
    });
  expect((await through("phase-w", "motor-w", "lead-w-open")).overload).not.toBe(false);
  expect((await through("phase-u", "phase-w", "lead-w-open")).overload).not.toBe(false);
  expect((await through("motor-u", "motor-w", "lead-w-open")).value).toBeLessThan(0.6);
  expect((await through("phase-u", "phase-v", "joint-v-burnt")).value).toBeLessThan(0.6);
});
