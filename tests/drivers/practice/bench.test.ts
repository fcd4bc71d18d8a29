import { describe, expect, it } from "vitest";
import { createPracticeBench } from "../../../drivers/practice/bench.js";
import { systemClock } from "../../../drivers/clock.js";
import { OHMS, ask, at, play, settled } from "./harness.js";
import type { Script } from "./harness.js";

const TOUR: Script = [
  [0, ask("charger-plus", "charger-minus", { charger: "plugged" })],
  [8, ask("pack-plus", "pack-minus")],
  [16, ask("terminal-plus", "terminal-minus", { pack: "in", trigger: "worked" })],
  [26, ask("switch-in-plus", "switch-out-plus", { case: "open", trigger: "squeezed" }, OHMS)],
];

describe("a healthy drill on the practice bench", () => {
  it("sends frames that the normal decoder takes, only the cut first one is lost", async () => {
    const played = await play(TOUR, 36);
    expect(played.readings.length).toBeGreaterThan(110);
    expect(played.rejected).toEqual({});
    const intervals = played.readings.slice(1).map((r, n) => r.time_s - played.readings[n]!.time_s);
    const usual = intervals.sort((a, b) => a - b)[Math.floor(intervals.length / 2)]!;
    expect(usual).toBeCloseTo(1 / 3.5, 2);
  });

  it("shows charger, pack and closed switch as they are", async () => {
    const played = await play(TOUR, 36);
    expect(at(played, 8).value).toBeCloseTo(21, 0);
    const pack = at(played, 16);
    expect(pack.value).toBeGreaterThan(19.5);
    expect(pack.value).toBeLessThan(21);
    expect(at(played, 36)).toMatchObject({ quantity: "resistance", unit: "Ω", overload: false });
    expect(at(played, 36).value).toBeLessThan(0.5);
  });

  it("sags while the trigger is worked and recovers", async () => {
    const { readings } = await play(TOUR.slice(0, 3), 26);
    const values = readings.filter((r) => r.time_s > 19.5).map((r) => r.value ?? 0);
    const before = values[0]!;
    const floor = Math.min(...values);
    expect(before - floor).toBeGreaterThan(0.4);
    expect(before - values.at(-1)!).toBeLessThan(0.2);
  });

  it("is the same to the byte for the same seed, and another for another", async () => {
    const [one, two, other] = [
      await play(TOUR, 30, { seed: 5 }),
      await play(TOUR, 30, { seed: 5 }),
      await play(TOUR, 30, { seed: 6 }),
    ];
    expect(Buffer.compare(one.bytes, two.bytes)).toBe(0);
    expect(Buffer.compare(one.bytes, other.bytes)).not.toBe(0);
  });

  it("lets the last voltage fade and drift on open probes: never a clean zero", async () => {
    const played = await play(
      [
        [0, ask("pack-plus", "pack-minus")],
        [8, ask("pack-plus", "pack-minus", {}, undefined, "lift")],
      ],
      30,
    );
    const faded = played.readings.filter((r) => r.time_s > 12).map((r) => r.value ?? Number.NaN);
    expect(Math.max(...faded.map(Math.abs))).toBeLessThan(0.4);
    expect(new Set(faded).size).toBeGreaterThan(10);
  });

  it("freezes the display under the HOLD key and lets it go again", async () => {
    const { readings } = await play(
      [[0, ask("pack-plus", "pack-minus", {}, undefined, "hold-key")]],
      6,
    );
    const held = readings.filter((r) => r.flags.includes("hold"));
    expect(held.length).toBeGreaterThanOrEqual(3);
    expect(new Set(held.map((r) => r.value)).size).toBe(1);
    expect(readings.at(-1)!.flags).not.toContain("hold");
  });

  it("shows zero ohms of the leads with the probes together, overload in the air", async () => {
    const together = await settled(ask("brush-a", "brush-b", {}, OHMS, "together"));
    expect(together.value).toBeGreaterThan(0.05);
    expect(together.value).toBeLessThan(0.5);
    expect((await settled(ask("brush-a", "brush-b", {}, OHMS, "lift"))).overload).toBe(true);
  });

  it("shows the known source of the bench", async () => {
    const known = await settled(ask("brush-a", "brush-b", {}, undefined, "known-source"));
    expect(known.value).toBeCloseTo(9.4, 1);
  });

  it("answers with as many touches of the known source as it is asked for", async () => {
    const request = ask("brush-a", "brush-b", {}, undefined, "known-source");
    for (const touches of [1, 2, 3]) {
      const { readings, bench } = await play([[0, { ...request, touches }]], 14);
      const on = readings.map(({ value }) => (value ?? 0) > 9);
      expect(on.filter((is, n) => is && on[n - 1] === false)).toHaveLength(touches);
      expect(bench.truth().probes).toBeNull();
    }
  });

  it("feels what a person would feel at the chuck", async () => {
    const request = ask("brush-a", "brush-b");
    expect((await play([[0, request]], 1)).bench.answer("shaft-by-hand")).toBe("turns");
    const jammed = await play([[0, request]], 1, { faults: ["gear-jam"] });
    expect(jammed.bench.answer("shaft-by-hand")).toBe("blocked");
    expect(jammed.bench.answer("who-knows")).toBeNull();
  });

  it("shows minus where the hand slips and reverses the probes", async () => {
    const slips = { habits: { reversed: 1 } };
    expect((await settled(ask("pack-plus", "pack-minus"), slips)).value).toBeLessThan(-19);
  });

  it("comes to a steady reading after a rubbing contact", async () => {
    const played = await play([[0, ask("pack-plus", "pack-minus")]], 12, {
      habits: { rubbing: 1 },
    });
    const last = played.readings.slice(-5).map((r) => r.value!);
    expect(Math.max(...last) - Math.min(...last)).toBeLessThanOrEqual(0.03);
  });

  it("gives nonsense for ohms across a live part, as a real meter does", async () => {
    const live = await settled(ask("terminal-plus", "terminal-minus", { pack: "in" }, OHMS));
    expect(live.overload).toBe(true);
  });

  it("sends a thousand lines a second where asked to, and sees the dip of the starting motor", async () => {
    const request = ask("terminal-plus", "terminal-minus", { pack: "in", trigger: "worked" });
    const options = { protocol: "ascii-line", rate_Hz: 1000 };
    const { readings, rejected } = await play([[0, request]], 9, options);
    expect(rejected).toEqual({});
    expect(readings.length).toBeGreaterThan(8500);
    const loaded = readings.filter((r) => r.time_s > 4.5).map((r) => r.value ?? Number.NaN);
    // Current at start is limited by all resistances in series: far below the plateau of 19.9 V.
    expect(Math.min(...loaded)).toBeLessThan(14);
    expect(loaded.at(-1)).toBeGreaterThan(19);
  });

  it("shows the motor's current on the clamp of the second channel", async () => {
    const request = ask("terminal-plus", "terminal-minus", { pack: "in", trigger: "squeezed" });
    const played = await play([[0, request]], 12, { channel: "b" });
    expect(at(played, 12)).toMatchObject({ quantity: "current", coupling: "dc", unit: "A" });
    expect(at(played, 12).value).toBeGreaterThan(2);
    expect(at(played, 12).value).toBeLessThan(6);
  });
});

describe("hidden faults", () => {
  const packAtRest = ask("pack-plus", "pack-minus");
  const running = ask("terminal-plus", "terminal-minus", { pack: "in", trigger: "squeezed" });
  const throughSwitch = ask(
    "switch-in-plus",
    "switch-out-plus",
    { case: "open", trigger: "squeezed" },
    OHMS,
  );
  const loose = { case: "open", motor: "disconnected" } as const;
  const armature = ask("brush-a", "brush-b", loose, OHMS);

  it.each([
    ["charger-dead", ask("charger-plus", "charger-minus", { charger: "plugged" }), 0.3, 0.5],
    ["charger-fuse", ask("charger-plus", "charger-minus", { charger: "plugged" }), -0.01, 0.01],
    ["pack-dead", packAtRest, -0.05, 0.05],
    ["pack-asleep", packAtRest, 0.1, 1],
    ["pack-discharged", packAtRest, 14.5, 16.5],
    ["pack-weak-cell", packAtRest, 19.5, 21],
    ["pack-weak-cell", running, 10, 17],
    ["terminal-corroded", running, 12, 17],
    ["motor-shorted-turns", running, 15, 19.2],
    ["switch-open", running, 19.5, 21],
    ["switch-burnt", throughSwitch, 2, 3],
    ["lead-red-broken", running, 19.5, 21],
    ["lead-black-broken", running, 19.5, 21],
  ])("%s shows at %j", async (fault, request, low, high) => {
    const { value } = await settled(request, { faults: [fault] });
    expect(value).toBeGreaterThan(low);
    expect(value).toBeLessThan(high);
  });

  it.each([
    ["switch-open", throughSwitch],
    ["lead-red-broken", ask("lead-red-end", "brush-a", loose, OHMS)],
    ["lead-black-broken", ask("lead-black-end", "brush-b", loose, OHMS)],
    ["brush-stuck", armature],
    ["motor-open", armature],
  ])("%s is open on ohms at %j", async (fault, request) => {
    expect((await settled(request, { faults: [fault] })).overload).toBe(true);
    expect((await settled(request)).overload).toBe(false);
  });

  it.each([
    ["lead-red-broken", ask("switch-out-plus", "brush-a", { case: "open" }, OHMS)],
    ["brush-stuck", ask("brush-a", "brush-b", { case: "open" }, OHMS)],
  ])("%s hides behind the brake contact while the motor hangs on its switch", async (fault, on) => {
    const { value } = await settled(on, { faults: [fault] });
    expect(value).toBeLessThan(1.5);
  });

  describe("a motor that is fed directly", () => {
    const fed = ask("brush-a", "brush-b", { ...loose, pack: "at-motor" });
    // 18 V rated, limited to 10 A; the faults before the motor do not matter to it.
    it.each([
      ["", 17.5, 18],
      ["switch-open", 17.5, 18],
      ["lead-red-broken", 17.5, 18],
      ["pack-dead", 17.5, 18],
      ["brush-stuck", 17.9, 18.1],
      ["motor-open", 17.9, 18.1],
      ["motor-seized", 0.5, 4],
      ["gear-jam", 0.5, 4],
      ["motor-shorted-turns", 4, 14],
    ])("%s: its supply holds or is pulled down", async (fault, low, high) => {
      const { value } = await settled(fed, { faults: fault === "" ? [] : [fault] });
      expect(value).toBeGreaterThan(low);
      expect(value).toBeLessThan(high);
    });

    it.each([
      ["", "runs"],
      ["switch-open", "runs"],
      ["brush-stuck", "still"],
      ["motor-open", "still"],
      ["motor-seized", "still"],
      ["gear-jam", "still"],
      ["motor-burnt-bar", "jerks"],
      ["motor-shorted-turns", "slow"],
    ])("%s: a person sees that it %s", async (fault, manner) => {
      const faults = fault === "" ? [] : [fault];
      const { bench } = await play([[0, fed]], 12, { faults });
      expect(bench.answer("motor-turns-fed")).toBe(manner);
    });
  });

  it.each(["motor-seized", "gear-jam"])(
    "%s pulls the pack down until its protection trips; let go, it comes back",
    async (fault) => {
      const points = ["terminal-plus", "terminal-minus"] as const;
      const played = await play(
        [
          [0, ask(...points, { pack: "in" })],
          [8, ask(...points, { pack: "in", trigger: "worked" }, undefined, "squeeze")],
        ],
        16,
        { faults: [fault] },
      );
      const values = played.readings.filter((r) => r.time_s > 8).map((r) => r.value ?? 0);
      expect(values.some((value) => value > 8 && value < 15)).toBe(true);
      expect(Math.min(...values)).toBeLessThan(0.1);
      expect(values.at(-1)).toBeGreaterThan(19);
    },
  );

  it("hides two at once", async () => {
    const faults = ["pack-asleep", "lead-red-broken"];
    expect((await settled(packAtRest, { faults })).value).toBeLessThan(1);
    const lead = ask("lead-red-end", "brush-a", loose, OHMS);
    expect((await settled(lead, { faults })).overload).toBe(true);
  });

  it("refuses a tool, a fault or a protocol that it does not have, and names those it has", () => {
    const base = { kind: "cordless-brushed", faults: [], seed: 1, pace: "at-once" as const };
    const clock = systemClock;
    expect(() => createPracticeBench({ ...base, clock, kind: "kettle" })).toThrow(
      /cordless-brushed.*usage\/practice-kind/,
    );
    expect(() => createPracticeBench({ ...base, clock, faults: ["rust"] })).toThrow(
      /pack-dead.*usage\/practice-fault/,
    );
    expect(() => createPracticeBench({ ...base, clock, protocol: "morse" })).toThrow(
      /segment-14.*usage\/practice-protocol/,
    );
    expect(() => createPracticeBench({ ...base, clock, rate_Hz: 100 })).toThrow(
      /up to 17.*usage\/practice-rate/,
    );
  });
});
