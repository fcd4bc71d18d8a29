import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { Bench } from "../../electron/bench/bench.js";
import { watchSleep } from "../../electron/run/sleep-watch.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import type { BenchEvent } from "../../workbench/contract/events.js";
import { ManualClock } from "../drivers/manual-clock.js";
import { knownSource, smallPlan } from "../end-to-end/small-plan.js";
import { ScriptedMeter } from "../end-to-end/scripted-meter.js";

describe("sleep that nobody tells of", () => {
  let clock: ManualClock;
  let up_s: number;
  let told: string[];
  let end: () => void;
  beforeEach(() => {
    clock = new ManualClock();
    up_s = 5_000;
    told = [];
    const sleeper = {
      interrupted: () => void told.push("interrupted"),
      resumed: () => void told.push("resumed"),
    };
    end = watchSleep(sleeper, clock, () => up_s + Number(clock.now_ns()) / 1e9);
  });
  afterEach(() => end());

  test("a computer that is awake is left alone, also a busy one", async () => {
    await clock.advance(60_000);
    clock.jump(8_000);
    await clock.advance(60_000);
    expect(told).toEqual([]);
  });

  test("the monotonic clock stood still (Linux)", async () => {
    await clock.advance(5_000);
    up_s += 3_600;
    await clock.advance(1_000);
    expect(told).toEqual(["interrupted", "resumed"]);
    await clock.advance(60_000);
    expect(told).toHaveLength(2);
  });

  test("the monotonic clock went on, and no timer ran (elsewhere)", async () => {
    await clock.advance(5_000);
    clock.jump(3_600_000);
    await clock.advance(1_000);
    expect(told).toEqual(["interrupted", "resumed"]);
  });

  test("nothing is told after the end", async () => {
    end();
    up_s += 3_600;
    await clock.advance(5_000);
    expect(told).toEqual([]);
  });
});

describe("a run through sleep", () => {
  let folder: string;
  let meter: ScriptedMeter;
  let bench: Bench;
  const events: BenchEvent[] = [];
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), "leadhand-sleep-"));
    meter = await ScriptedMeter.open();
    bench = new Bench({ begin: null, jobs: folder });
    bench.subscribe((event) => void events.push(event));
  });
  afterEach(async () => {
    await bench.close();
    await meter.close();
    await rm(folder, { recursive: true, force: true });
  });

  const states = (): string[] =>
    events.flatMap((event) => {
      if (event.type !== "meter") return [];
      return [[event.meter.state, event.meter.advice?.code ?? ""].join(" ").trim()];
    });
  const came = async (done: () => boolean): Promise<void> => {
    while (!done()) await new Promise((resolve) => setTimeout(resolve, 5));
  };

  test("the step is begun anew, the meter is verified anew, the record says so, a replay agrees", async () => {
    const file = join(folder, "plan.json");
    await writeFile(file, JSON.stringify(smallPlan([knownSource])));
    const run = await bench.startRun({ plan: file, meters: [meter.address] });
    await came(() => states().at(-1) === "live");
    const prompts = (): string[] =>
      events.flatMap((event) => (event.type === "prompt" ? [String(event.kind)] : []));

    bench.interrupted();
    expect(states().at(-1)).toBe("stale meter/interrupted");
    await came(() => prompts().includes("meter-lost"));
    bench.resumed();
    await came(() => states().at(-1) === "live");
    expect(states().slice(-4)).toEqual([
      "stale meter/interrupted",
      "lost meter/interrupted",
      "silent",
      "live",
    ]);
    await came(() => prompts().includes("meter-back"));
    meter.show("9.01 V DC");
    await came(() => events.some((event) => event.type === "recorded"));
    await run.engine?.ended;

    const journal = await readFile(join(run.id, "journal.ndjson"), "utf8");
    expect(journal).toContain('The computer went to sleep. The step \\"source\\" was interrupted.');
    expect(journal).toContain("The computer woke up; the meters are connected and verified anew.");
    expect(await replayJob(run.id, "test")).toMatchObject({ agrees: true, damage: [] });
  });
});
