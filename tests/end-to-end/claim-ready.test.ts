import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { systemClock } from "../../drivers/clock.js";
import { PRACTICE_KINDS, practiceKind } from "../../drivers/practice/kinds.js";
import { startEngine } from "../../electron/run/engine.js";
import { prepareRun } from "../../electron/run/prepare.js";
import { DirectReasoning } from "../../electron/run/reasoning.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import { readJob } from "../../workbench/job/read-job.js";
import { verifyPack } from "../../workbench/claim/verify.js";
import { wasSkipped } from "../../workbench/plan/step-results.js";
import { packAgain, unpacked, VERSION } from "../workbench/claim/sample-pack.js";
import { NAMES } from "./names.js";
import { SHOWS } from "./shows.js";

/**
 * The full plan of a kind as the program runs it, from start to claim-ready, by the simulated hand
 * alone: no key, no click, for a healthy tool and for each single fault. Where it is told what the
 * reasoning may name, that is in the record, and nothing else is condemned.
 */
const CASES = PRACTICE_KINDS.map(({ kind }) => kind).flatMap((kind) =>
  ["", ...practiceKind(kind).faults.map(({ id }) => id)].map((fault) => [kind, fault] as const),
);
let jobs: string;

beforeAll(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-claim-ready-"));
});
afterAll(() => rm(jobs, { recursive: true, force: true }));

async function run(kind: string, fault: string): Promise<{ folder: string; how: string }> {
  const meter = `practice:${kind}?fault=${fault}&seed=7&pace=at-once`;
  const folder = join(jobs, `${kind}-${fault === "" ? "healthy" : fault}`);
  const prepared = await prepareRun({ plan: kind, meters: [meter], folder }, jobs, systemClock);
  const engine = await startEngine({
    ...prepared,
    reasoning: new DirectReasoning(prepared.plan, {}),
    emit: () => undefined,
  });
  return { folder, how: await engine.ended };
}

type Parts = Extract<JournalEvent, { kind: "conclusion" }>["parts"];

/** The likeliest part is one of these, and no other is condemned. */
function expectNamed(parts: Parts, names: readonly string[]): void {
  const condemned = parts.filter(({ state }) => state === "condemned").map(({ id }) => id);
  expect(names).toEqual(expect.arrayContaining(condemned));
  if (names.length === 0) return;
  const [first] = parts
    .filter(({ state }) => state === "condemned" || state === "suspect")
    .sort((a, b) => (b.odds ?? 0) - (a.odds ?? 0));
  expect(names).toContain(first?.id);
}

describe.each(CASES)("%s, fault: %s", (kind, fault) => {
  it("is run to its end by the hand alone, shown, packed and proved", async () => {
    const { folder, how } = await run(kind, fault);
    expect(how).toBe("finished");
    const { file, lines, damage } = await readJob(folder);
    expect(damage).toEqual([]);
    const events = lines.map(({ event }) => event);
    // What keys and clicks would have left behind.
    const byHand = events.filter(({ kind }) => ["confirm", "skip", "repeat"].includes(kind));
    expect(byHand).toEqual([]);
    const concluded = events.filter((event) => event.kind === "conclusion");
    expect(concluded).toHaveLength(1);
    const names = NAMES[kind];
    if (names !== undefined) expectNamed(concluded[0]!.parts, names[fault] ?? []);
    const verdicts = new Map(
      events.flatMap((event) =>
        event.kind === "step" ? [[event.result.step, event.result.verdict] as const] : [],
      ),
    );
    const shown = [...verdicts].filter(([, each]) => each === "fail" || each === "borderline");
    const expected = fault === "" ? [] : (SHOWS[kind]?.[fault] ?? ["?"]);
    expect(shown.map(([step]) => step)).toEqual(expect.arrayContaining([...expected]));
    if (fault === "") expect([...verdicts.values()]).not.toContain("fail");

    const zip = `${folder}.zip`;
    await packAgain(folder, zip);
    const { good, checks } = await verifyPack(zip, null, VERSION);
    expect(checks.filter(({ outcome }) => outcome === "bad")).toEqual([]);
    expect(good).toBe(true);
    const report = [...(await unpacked(zip))].find(([name]) => name.endsWith("/report.html"));
    const html = report![1].toString("utf8");
    // What was skipped must not read as if it had been done.
    const last = new Map(
      events.flatMap((event) => (event.kind === "step" ? [[event.result.step, event.result]] : [])),
    );
    const skipped = file.plan.steps.filter(
      ({ id, kind }) => (kind === "do" || kind === "wait") && wasSkipped(last.get(id)!),
    );
    expect(html.split("Not done: skipped").length - 1).toBe(skipped.length);
  });
});
