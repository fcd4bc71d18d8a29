import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { replayJob } from "../../workbench/job/compare-replay.js";
import { readJob } from "../../workbench/job/read-job.js";
import { leadhand } from "./processes.js";
import type { Child } from "./processes.js";
import { RestlessMeter } from "./restless-meter.js";
import { twoMeterPlan } from "./small-plan.js";

/** The built program and two meters: pulled out, talking rubbish, the program killed, and again. */
let folder: string;
let job: string;
let voltmeter: RestlessMeter;
let ammeter: RestlessMeter;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), "leadhand-interrupted-"));
  job = join(folder, "job");
  writeFileSync(join(folder, "plan.json"), JSON.stringify(twoMeterPlan));
  voltmeter = await RestlessMeter.open("V");
  ammeter = await RestlessMeter.open("A");
});
afterAll(async () => {
  await voltmeter.close();
  await ammeter.close();
  rmSync(folder, { recursive: true, force: true });
});

type Told = Readonly<Record<string, unknown>>;

/** Resolves when the program says so, from line `from` on; with the number of the next line. */
function says(child: Child, wanted: Told, from = 0): Promise<number> {
  return child.until(({ lines }) => {
    const at = lines.findIndex((line, n) => {
      const told = JSON.parse(line) as Told;
      return n >= from && Object.entries(wanted).every(([name, value]) => told[name] === value);
    });
    return at < 0 ? null : at + 1;
  });
}

const starts = (step: string): Told => ({ event: "begin", step });
const ends = (step: string): Told => ({ event: "step", step, verdict: "pass" });

async function agrees(steps: number): Promise<void> {
  const replay = await replayJob(job, "test");
  expect(replay.differences).toEqual([]);
  expect(replay.steps).toBe(steps);
  expect(replay.damage).toEqual([]);
}

test("whatever happens to meters and program, the replay says what the journal says", async () => {
  const meters = [voltmeter.address, ammeter.address];
  const first = leadhand(
    ["run", "--plan", join(folder, "plan.json"), "--job", job, "--json", "--meter", ...meters],
    {},
  );
  await says(first, { event: "meter", channel: "b", state: "live" });
  voltmeter.show(9.01);
  const touched = await says(first, { event: "contact", step: "source", contact: "settling" });
  await voltmeter.unplug();
  voltmeter.garbage();
  ammeter.garbage();
  const lost = await says(first, { event: "meter", channel: "a", state: "lost" }, touched);
  await voltmeter.plug();
  await says(first, { event: "meter", channel: "a", state: "live" }, lost);
  voltmeter.garbage();
  voltmeter.show(0);
  await says(first, { event: "contact", step: "source", contact: "lifted" }, lost);
  voltmeter.show(9.01);
  await says(first, ends("source"));
  first.process.kill("SIGKILL");
  await first.exited;
  voltmeter.show(0);
  await agrees(1);

  const second = leadhand(["go-on", job, "--json"]);
  await says(second, { event: "meter", channel: "b", state: "live" });
  ammeter.garbage();
  ammeter.show(2.5);
  await says(second, { event: "contact", step: "amperes", contact: "settling" });
  second.process.kill("SIGKILL");
  await second.exited;
  ammeter.show(0);
  await agrees(1);

  const third = leadhand(["go-on", job, "--json"]);
  await says(third, { event: "meter", channel: "b", state: "live" });
  ammeter.show(2.5);
  const next = await says(third, starts("brushes"));
  await agrees(2);
  voltmeter.garbage();
  await ammeter.unplug();
  await says(third, { event: "contact", step: "brushes", contact: "lifted" }, next);
  voltmeter.show(8.52);
  await says(third, ends("brushes"));
  expect(await third.exited).toBe(0);
  await agrees(3);
});

test("the job of all this, played twice, gives one journal", async () => {
  const play = async (name: string, pace: string): Promise<string> => {
    const meters = ["a", "b"].map(
      (channel) => `recorded:${job}?protocol=ascii-line&channel=${channel}&pace=${pace}`,
    );
    const played = join(folder, name);
    const child = leadhand(
      ["run", "--plan", join(folder, "plan.json"), "--job", played, "--meter", ...meters],
      {},
    );
    // Played without the kills, it may come to its end before the plan does: then the meter ended.
    expect([0, 3]).toContain(await child.exited);
    return readFileSync(join(played, "journal.ndjson"), "utf8");
  };
  const fast = await play("fast", "at-once");
  expect(fast).toContain('"step":"source","verdict":"pass"');
  expect(fast).toBe(await play("slower", "50"));
});

test("a run killed before its last lines ends with them, and needs no meter for it", async () => {
  const whole = readFileSync(join(job, "journal.ndjson"), "utf8").trimEnd().split("\n");
  const last = whole.findIndex((line) => line.includes('"kind":"finished"'));
  for (const [name, kept] of [
    ["finished", last],
    ["conclusion", last + 1],
  ] as const) {
    const cut = join(folder, `no-${name}`);
    cpSync(job, cut, { recursive: true });
    writeFileSync(join(cut, "journal.ndjson"), `${whole.slice(0, kept).join("\n")}\n`);
    const child = leadhand(["go-on", cut, "--json"]);
    expect(await child.exited).toBe(0);
    const events = (await readJob(cut)).lines.map(({ event }) => event);
    const ending = events.slice(-2).map(({ kind }) => kind);
    expect(ending).toEqual([name === "finished" ? "finished" : "resumed", "conclusion"]);
    expect(await replayJob(cut, "test")).toMatchObject({ agrees: true, differences: [] });
    // Now it has everything, and there is nothing left to go on with.
    expect(await leadhand(["go-on", cut]).exited).toBe(2);
  }
});
