import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { programVersion } from "../../electron/version.js";
import { replayJob } from "../../workbench/job/compare-replay.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import { readJob } from "../../workbench/job/read-job.js";
import { scriptedIo } from "./scripted-io.js";

/** The three orders, each from start to end by the simulated hand alone. */
let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "leadhand-order-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function practise(order: string, ...more: string[]) {
  const job = join(folder, order);
  const io = scriptedIo();
  const status = await runProgram(["practice", "--order", order, "--job", job, ...more], io);
  const events = (await readJob(job)).lines.map(({ event }) => event);
  return { job, io, status, events };
}

function of<K extends JournalEvent["kind"]>(events: readonly JournalEvent[], kind: K) {
  return events.filter((event) => event.kind === kind) as Extract<JournalEvent, { kind: K }>[];
}

/** Steps that were taken, in their order. */
function taken(events: readonly JournalEvent[]): string[] {
  return of(events, "step")
    .filter(({ result }) => result.reason?.startsWith("skipped") !== true)
    .map(({ result }) => result.step);
}

/** What keys and clicks would have left behind. */
const byHand = (events: readonly JournalEvent[]) =>
  events.filter(({ kind }) => ["confirm", "skip", "repeat"].includes(kind));

const conclusion = (events: readonly JournalEvent[]) => of(events, "conclusion").at(-1)?.words;

describe("the proposed order", () => {
  test("finds the fault with fewer steps than the plan, leaves the rest out with the reason, and replay agrees", async () => {
    const fixed = await practise("fixed", "--fault", "switch-burnt");
    const { job, status, events } = await practise("proposed", "--fault", "switch-burnt");
    expect(status).toBe(1);
    expect(conclusion(events)).toBe("At fault: Trigger switch.");
    expect(byHand(events)).toEqual([]);
    expect(of(events, "order")).toMatchObject([{ order: "proposed", time_s: 0 }]);
    expect(taken(events).length).toBeLessThan(taken(fixed.events).length);
    expect(taken(events).slice(0, 2)).toEqual(["pack-outside", "meter-proof"]);
    // It ran, so it is tried once more when it is closed.
    const end = ["close-case", "pack-in-again", "runs-again", "pack-out-again"];
    expect(taken(events).slice(-4)).toEqual(end);
    const left = of(events, "step").filter(({ result }) => result.reason?.includes("left out"));
    expect(left.map(({ result }) => result.reason)).toContainEqual(
      expect.stringMatching(
        /^skipped: left out, trigger switch is at fault, and the odds of another fault are .*, less than 5 %$/,
      ),
    );
    // Every step of the plan is in the record, taken or left out.
    expect(new Set(of(events, "step").map(({ result }) => result.step)).size).toBe(
      (await readJob(job)).file.plan.steps.length,
    );
    const replay = await replayJob(job, programVersion());
    expect(replay).toMatchObject({ agrees: true, differences: [] });
  });

  test("says why each step is taken, and what each outcome would mean", async () => {
    const { events } = await practise("proposed", "--fault", "lead-red-broken");
    const chosen = of(events, "chosen");
    const weighed = chosen.filter(({ tells }) => tells.length > 0);
    expect(weighed.length).toBeGreaterThan(4);
    expect(weighed[0]?.tells.join()).toMatch(/ V \(\d+ %\): /);
    const opening = chosen.find(({ step }) => step === "open-case");
    expect(opening?.words).toMatch(/^It makes way for “/);
    expect(opening?.toward).not.toBeNull();
    expect(conclusion(events)).toBe("At fault: Red lead.");
  });

  test("stops at nothing that is still possible: two faults are both found", async () => {
    const faults = ["--fault", "switch-open", "--fault", "lead-black-broken"];
    const { events } = await practise("proposed", ...faults);
    // The pack might explain the second as well, at one in ten: suspect, and named.
    expect(conclusion(events)).toBe("At fault: Trigger switch. Still suspect: Black lead.");
  });
});

describe("the free order", () => {
  test("is probed, matched, confirmed and ended by probes and HOLD key alone, and replay agrees", async () => {
    const { job, io, events } = await practise("free", "--fault", "switch-burnt", "--seed", "1");
    expect(conclusion(events)).toBe("At fault: Trigger switch.");
    expect(byHand(events)).toEqual([]);
    expect(of(events, "order").map(({ order }) => order)).toEqual(["free", "proposed"]);
    const probed = of(events, "probed");
    expect(probed.length).toBeGreaterThan(3);
    expect(new Set(probed.map(({ how }) => how))).not.toContain("declared");
    const said = io.messages.join("\n");
    expect(said).toContain("Not there. Touch again for the next place.");
    expect(said).toContain("Shall the proposal go on? Press HOLD for yes; wait for no.");
    const replay = await replayJob(job, programVersion());
    expect(replay).toMatchObject({ agrees: true, differences: [] });
    expect(replay.conclusion?.agrees).toBe(true);
  });

  test("a dead circuit counts by the HOLD key alone, and the fault behind it is found", async () => {
    const { events } = await practise("free", "--fault", "lead-red-broken", "--seed", "3");
    const dead = of(events, "probed").filter(({ value }) => value === null || value === 0);
    expect(dead.length).toBeGreaterThan(0);
    expect(new Set(dead.map(({ how }) => how))).toEqual(new Set(["hold-key"]));
    // The tool has this one fault: a reading that was put at a wrong place would condemn another.
    expect(conclusion(events)).toBe("At fault: Red lead.");
  });
});

test("an unknown order is refused with those there are", async () => {
  const io = scriptedIo();
  expect(await runProgram(["practice", "--order", "mine"], io)).toBe(2);
  expect(io.messages.join()).toMatch(/fixed, proposed, free/);
});
