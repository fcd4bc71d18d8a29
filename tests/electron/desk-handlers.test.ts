import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { answerCall } from "../../electron/bench/calls-server.js";
import { deskHandlers } from "../../electron/bench/desk/desk-handlers.js";
import { createJob } from "../../workbench/job/job-folder.js";
import { ShopIndex } from "../../workbench/jobs/shop-index.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { calls } from "../../workbench/contract/calls.js";
import { newJob } from "../workbench/job/fixtures.js";
import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";

let jobs: string;
let index: ShopIndex;

beforeEach(async () => {
  jobs = await mkdtemp(join(tmpdir(), "leadhand-desk-"));
  index = new ShopIndex({ jobs, bench: "here", url: null });
});
afterEach(async () => {
  await index.close();
  await rm(jobs, { recursive: true, force: true });
});

const everything = { search: "", practice: "too", archived: false } as const;

/** As from a window: through the envelope, so that parameters and results are checked. */
async function ask<N extends CallName>(call: N, params: CallParams<N>): Promise<CallResult<N>> {
  const handlers = deskHandlers({ jobs, bench: "here", url: null }, index);
  const reply = await answerCall(handlers, { id: 1, call, params });
  if (!reply.ok) throw new Error(`${reply.error.code}: ${reply.error.what}`);
  return calls[call].result.parse(reply.result) as CallResult<N>;
}

async function job(name: string, make: string, complaint: string): Promise<void> {
  const made = await createJob(join(jobs, name), {
    startedAt: "2026-01-02T10:00:00.000Z",
    programVersion: "0.0.0",
    practice: true,
    tool: { make, model: "DW-18 Sample", serial: "0000-DEMO", complaint },
    meters: [{ channel: "a", address: "practice:bench", protocol: "segment-14" }],
    plan: bundledPlan("cordless-brushed"),
  });
  await made.close();
}

describe("plans", () => {
  const text = JSON.stringify(bundledPlan("cordless-brushed"), null, 2);

  it("lists the bundled ones and keeps the shop's own beside them", async () => {
    const own = text.replace('"id": "cordless-brushed"', '"id": "our-drill"');
    const { plan } = await ask("savePlan", { text: own, replaces: null });
    const listed = await ask("listPlans", {});
    expect(listed.map(({ id }) => id)).toEqual(expect.arrayContaining(["cordless-brushed", plan]));
    expect(await ask("readPlan", { plan })).toMatchObject({ own: true });
    expect(await ask("readPlan", { plan: "cordless-brushed" })).toMatchObject({ own: false });
  });
  it("puts no plan in the place of another one unseen", async () => {
    const keep = (id: string, replaces: string | null) =>
      ask("savePlan", {
        text: text.replace('"id": "cordless-brushed"', `"id": "${id}"`),
        replaces,
      });
    const { plan } = await keep("our-drill", null);
    await expect(keep("our-drill", null)).rejects.toThrow("plan/id-taken");
    await expect(keep("cordless-brushed", plan)).rejects.toThrow("plan/id-taken");
    expect(await keep("our-drill", plan)).toEqual({ plan });
  });
  it("tells everything that is wrong, each at its place", async () => {
    const wrong = text
      .replace('"cells * 3.5"', '"cels * 3.5"')
      .replace('"red": "pack-plus"', '"red": "x"');
    const { findings } = await ask("checkPlan", { text: wrong });
    expect(findings.map(({ code, path }) => [code, path])).toEqual([
      ["plan/name", "$.steps[6].red"],
      ["plan/name", "$.steps[6].limits.low"],
    ]);
  });
  it("says what is wrong with a text that is no plan", async () => {
    const { plan, findings } = await ask("checkPlan", { text: "{" });
    expect(plan).toBeNull();
    expect(findings[0]).toMatchObject({ level: "error", code: "plan/not-json" });
  });
  it("finds nothing wrong with a bundled plan, and refuses to keep one that could hurt", async () => {
    const { findings } = await ask("checkPlan", { text });
    expect(findings.filter(({ level }) => level === "error")).toEqual([]);
    const bare = text.replaceAll(/"cautions": \[[^\]]*\]/g, '"cautions": []');
    await expect(ask("savePlan", { text: bare, replaces: null })).rejects.toThrow("plan/refused");
  });
});

describe("jobs", () => {
  it("lists them newest first, finds by words, and leaves other folders alone", async () => {
    await job("job-1", "Demo Works", "does nothing");
    await job("job-2", "Sample Tools", "smells of smoke");
    await mkdir(join(jobs, "shop"));
    expect((await ask("listJobs", everything)).jobs).toHaveLength(2);
    const { jobs: found } = await ask("listJobs", {
      ...everything,
      search: "SMOKE sample",
    });
    expect(found.map((row) => row.job)).toEqual(["job-2"]);
  });
  it("names a job that cannot be read instead of hiding it", async () => {
    await mkdir(join(jobs, "broken"));
    await writeFile(join(jobs, "broken", "job.json"), "{");
    const { unreadable } = await ask("listJobs", everything);
    expect(unreadable[0]?.job).toBe("broken");
  });
  it("opens one, with its meters and what is wrong with its files", async () => {
    await job("job-1", "Demo Works", "does nothing");
    const opened = await ask("readJob", { job: "job-1" });
    expect(opened).toMatchObject({ finished: false, damage: [], steps: [], customer: null });
    expect(opened.meters.map(({ channel }) => channel)).toEqual(["a"]);
  });
  it("draws the whole trace, a line for each unit that was read, with gaps where it was another", async () => {
    const made = await createJob(join(jobs, "job-1"), {
      ...newJob({ plan: bundledPlan("cordless-brushed") }),
      meters: [{ channel: "a", address: "practice:bench", protocol: "ascii-line" }],
    });
    const shown = ["ready", "20.1 V DC", "17.9 V DC", "20.0 V DC", "OL Ohm", "0.4 Ohm"];
    shown.forEach((line, at) => {
      made.sink.append("a", {
        bytes: Buffer.from(`${line}\n`),
        arrival_ns: BigInt(at) * 10n ** 9n,
      });
    });
    await made.close();
    const trace = await ask("readTrace", { job: "job-1", channel: "a", points: 10 });
    expect(trace).toMatchObject({
      readings: 5,
      lines: [
        { unit: "V", readings: 3, low: [20.1, 17.9, 20, null, null] },
        { unit: "Ω", readings: 1, low: [null, null, null, null, 0.4] },
      ],
    });
  });
  it("takes no path for a job", async () => {
    await expect(ask("readJob", { job: "../etc" })).rejects.toThrow("input/bad-request");
  });
});

describe("meters", () => {
  const table = {
    meter: "Demo hand-held",
    calibrated: "2026-01-02",
    valid_months: 12,
    temperature_degC: { low: 20, high: 26 },
    temperatureCoefficient: 0.05,
    lines: [
      {
        quantity: "voltage",
        coupling: "dc",
        resolution: 0.01,
        upTo: 60,
        percentOfReading: 0.5,
        counts: 2,
      },
    ],
  };
  it("keeps a table and gives it back", async () => {
    await ask("saveTable", { table });
    expect(await ask("listTables", {})).toMatchObject([
      { ...table, calibratedUntil: "2027-01-02", outOfCalibration: expect.any(Boolean) as boolean },
    ]);
  });
  it("says where a table is wrong and keeps nothing", async () => {
    const wrong = { ...table, lines: [{ ...table.lines[0]!, percentOfReading: -1 }] };
    await expect(ask("saveTable", { table: wrong })).rejects.toThrow("lines.0.percentOfReading");
    expect(await ask("listTables", {})).toEqual([]);
  });
});

describe("the practice bench", () => {
  it("offers a hidden fault, a healthy tool and every fault by name, each at its own address", async () => {
    const [drill] = await ask("listPractice", {});
    const addresses = drill?.choices.map(({ address }) => address) ?? [];
    expect(addresses.length).toBeGreaterThan(3);
    expect(new Set(addresses).size).toBe(addresses.length);
  });
});
