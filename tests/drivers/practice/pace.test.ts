import { describe, expect, it } from "vitest";
import { createPracticeBench } from "../../../drivers/practice/bench.js";
import { SimulatedClock } from "../../../drivers/simulated-clock.js";
import { findProtocol } from "../../../protocols/registry.js";
import { ManualClock } from "../manual-clock.js";
import { ask, play } from "./harness.js";

function realTime(clock: ManualClock) {
  const bench = createPracticeBench({
    kind: "cordless-brushed",
    faults: [],
    seed: 3,
    pace: "real-time",
    clock,
  });
  bench.follow(ask("pack-plus", "pack-minus"));
  return bench;
}

describe("the practice bench in real time", () => {
  it("sends as the injected clock goes on, with arrival times of that clock", async () => {
    const clock = new ManualClock();
    await clock.advance(5000);
    const link = realTime(clock).link();
    const decoder = findProtocol("segment-14").createDecoder();
    const arrivals: bigint[] = [];
    link.onChunk = ({ bytes, arrival_ns }) => {
      arrivals.push(arrival_ns);
      expect(arrival_ns).toBe(clock.now_ns());
      decoder.push(bytes);
    };
    await link.open();
    await clock.advance(10_000);
    expect(decoder.stats.frames).toBeGreaterThan(32);
    expect(decoder.stats.frames).toBeLessThan(37);
    expect(arrivals[0]! > 5_000_000_000n).toBe(true);
    expect([...arrivals].sort((a, b) => Number(a - b))).toEqual(arrivals);
    await link.close();
  });

  it("keeps every byte while its reader was held up for ten seconds", async () => {
    const clock = new ManualClock();
    const bench = realTime(clock);
    const link = bench.link();
    const decoder = findProtocol("segment-14").createDecoder();
    link.onChunk = ({ bytes }) => void decoder.push(bytes);
    await link.open();
    await clock.advance(1000);
    const before = decoder.stats.frames;
    clock.jump(10_000);
    await clock.advance(10);
    expect(decoder.stats.frames - before).toBeGreaterThanOrEqual(34);
    expect(decoder.stats.rejected).toEqual({});
    await link.close();
  });

  it("sleeps when the computer slept", async () => {
    const clock = new ManualClock();
    const bench = realTime(clock);
    const link = bench.link();
    await link.open();
    await clock.advance(1000);
    clock.jump(3_600_000);
    await clock.advance(1000);
    expect(bench.truth().time_s).toBeLessThan(3);
    await link.close();
  });

  it("stands still while nobody listens and goes on for the next link", async () => {
    const clock = new ManualClock();
    const bench = realTime(clock);
    const first = bench.link();
    await first.open();
    await clock.advance(2000);
    await first.close();
    await clock.advance(50_000);
    expect(bench.truth().time_s).toBeCloseTo(2, 1);
    let chunks = 0;
    const second = bench.link();
    second.onChunk = () => void (chunks += 1);
    await second.open();
    await clock.advance(1000);
    expect(chunks).toBeGreaterThan(0);
    expect(bench.truth().time_s).toBeCloseTo(3, 1);
    await second.close();
  });
});

describe("a practice link", () => {
  it("is single use, and closes once and for all", async () => {
    const clock = new ManualClock();
    const link = realTime(clock).link();
    const closed: string[] = [];
    link.onClosed = ({ by }) => closed.push(by);
    await link.open();
    await link.write(new Uint8Array([1]));
    await link.close();
    await link.close();
    link.onChunk = () => {
      throw new Error("a chunk after the link was closed");
    };
    await clock.advance(2000);
    expect(closed).toEqual(["us"]);
    await expect(link.open()).rejects.toThrow(/meter\/link-used/);
  });

  it("never opens once closed, and then tells nothing", async () => {
    const link = realTime(new ManualClock()).link();
    let closed = 0;
    link.onClosed = () => void (closed += 1);
    await link.close();
    await expect(link.open()).rejects.toThrow(/meter\/link-used/);
    expect(closed).toBe(0);
  });
});

describe("simulated time", () => {
  it("fires timers in order at their own times and never runs backwards", () => {
    const clock = new SimulatedClock();
    const fired: string[] = [];
    clock.after(20, () => fired.push(`b ${clock.now_ns()}`));
    clock.after(10, () => {
      fired.push(`a ${clock.now_ns()}`);
      clock.after(5, () => fired.push(`nested ${clock.now_ns()}`));
    });
    clock.after(15, () => fired.push("cancelled"))();
    clock.advanceTo(30_000_000n);
    clock.advanceTo(1n);
    expect(fired).toEqual(["a 10000000", "nested 15000000", "b 20000000"]);
    expect(clock.now_ns()).toBe(30_000_000n);
  });

  it("does not depend on how long the reader takes over each chunk", async () => {
    const script = [[0, ask("pack-plus", "pack-minus")]] as const;
    const quick = await play(script, 4);
    let turn = 0;
    const slow = await play(script, 4, {
      idle: () => {
        turn += 1;
        return new Promise((resolve) => {
          if (turn % 3 === 0) setImmediate(() => setImmediate(resolve));
          else resolve();
        });
      },
    });
    expect(Buffer.compare(quick.bytes, slow.bytes)).toBe(0);
  });
});
