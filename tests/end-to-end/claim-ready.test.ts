import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { systemClock } from "../../drivers/clock.js";
import { practiceKind } from "../../drivers/practice/kinds.js";
import { startEngine } from "../../electron/run/engine.js";
import { prepareRun } from "../../electron/run/prepare.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import { readJob } from "../../workbench/job/read-job.js";
import { verifyPack } from "../../workbench/claim/verify.js";
import { packAgain, VERSION } from "../workbench/claim/sample-pack.js";
import { SHOWS } from "./shows.js";

/**
 * The full brushed-drill plan as the program runs it, from start to claim-ready, by the simulated
 * hand alone: no key, no click, for a healthy tool and for each single fault.
 */
const KIND = "cordless-brushed";
let jobs: string;

beforeAll(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-claim-ready-"));
});
afterAll(() => rm(jobs, { recursive: true, force: true }));

async function run(fault: string): Promise<{ folder: string; how: string }> {
  const meter = `practice:${KIND}?fault=${fault}&seed=7&pace=at-once`;
  const folder = join(jobs, fault === "" ? "healthy" : fault);
  const prepared = await prepareRun({ plan: KIND, meters: [meter], folder }, jobs, systemClock);
  const engine = await startEngine({
    ...prepared,
    reasoning: new DirectReasoning(prepared.plan, {}),
    emit: () => undefined,
  });
  return { folder, how: await engine.ended };
}

describe.each(["", ...practiceKind(KIND).faults.map(({ id }) => id)])("fault: %s", (fault) => {
  it("is run to its end by the hand alone, shown, packed and proved", async () => {
    const { folder, how } = await run(fault);
    expect(how).toBe("finished");
    const { lines, damage } = await readJob(folder);
    expect(damage).toEqual([]);
    const events = lines.map(({ event }) => event);
    // What keys and clicks would have left behind.
    const byHand = events.filter(({ kind }) => ["confirm", "skip", "repeat"].includes(kind));
    expect(byHand).toEqual([]);
    expect(events.filter(({ kind }) => kind === "conclusion")).toHaveLength(1);
    const verdicts = new Map(
      events.flatMap((event) =>
        event.kind === "step" ? [[event.result.step, event.result.verdict] as const] : [],
      ),
    );
    const shown = [...verdicts].filter(([, each]) => each === "fail" || each === "borderline");
    const expected = fault === "" ? [] : (SHOWS[KIND]?.[fault] ?? ["?"]);
    expect(shown.map(([step]) => step)).toEqual(expect.arrayContaining([...expected]));
    if (fault === "") expect([...verdicts.values()]).not.toContain("fail");

    const zip = `${folder}.zip`;
    await packAgain(folder, zip);
    const { good, checks } = await verifyPack(zip, null, VERSION);
    expect(checks.filter(({ outcome }) => outcome === "bad")).toEqual([]);
    expect(good).toBe(true);
  });
});
