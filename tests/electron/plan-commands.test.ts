import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { createJob } from "../../workbench/job/job-folder.js";
import { loadPlan } from "../../workbench/plan/load.js";
import { plainResult } from "../../workbench/plan/step-results.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { scriptedIo } from "./scripted-io.js";

describe("leadhand plan", () => {
  it("lists the bundled plans", async () => {
    const io = scriptedIo();
    expect(await runProgram(["plan"], io)).toBe(0);
    expect(io.lines.map((line) => line.split("\t")[0])).toEqual([
      "cordless-brushed",
      "cordless-brushed-electronic",
      "cordless-brushless",
      "charger",
      "pack",
      "corded-universal",
    ]);
  });

  it("prints one that can be changed and loaded again", async () => {
    const io = scriptedIo();
    expect(await runProgram(["plan", "pack"], io)).toBe(0);
    expect(loadPlan(io.lines.join("\n"), "mine.json")).toEqual(bundledPlan("pack"));
  });

  it("says which plans there are when it does not know one", async () => {
    const io = scriptedIo();
    expect(await runProgram(["plan", "toaster"], io)).toBe(2);
    expect(io.messages.join()).toContain("[plan/unknown]");
  });
});

describe("leadhand close-up", () => {
  let parent = "";
  let folder = "";
  beforeAll(async () => {
    parent = mkdtempSync(join(tmpdir(), "leadhand-"));
    folder = join(parent, "job");
    const job = await createJob(folder, {
      startedAt: "2026-11-25T09:00:00+01:00",
      programVersion: "0.0.0",
      practice: true,
      tool: { make: "Invented", model: "X", serial: "0", complaint: "dead" },
      plan: bundledPlan("cordless-brushless"),
      meters: [],
      origin_ns: 0n,
    });
    for (const step of ["open-case", "motor-unplug"]) {
      const result = plainResult(step, "not-judged", "confirmed by hand", {
        started_s: 1,
        ended_s: 2,
      });
      await job.record({ kind: "step", time_s: 2, result: { ...result, details: {} } });
    }
    await job.close();
  });
  afterAll(() => rmSync(parent, { recursive: true }));

  it("tells the way back", async () => {
    const io = scriptedIo();
    expect(await runProgram(["close-up", folder], io)).toBe(0);
    expect(io.lines).toEqual([
      "off   Back onto the controller: three motor leads; 3 × plug or joint.",
      "off   Back onto the case: upper half of the case; 8 × hexalobular screw, size 10.",
    ]);
  });

  it("counts what is left over", async () => {
    const io = scriptedIo();
    const back = ["--back", "motor-unplug=3", "--back", "open-case=7"];
    expect(await runProgram(["close-up", folder, ...back], io)).toBe(1);
    expect(io.messages).toEqual(["Left over: 0 parts, 1 × hexalobular screw, size 10."]);
    const all = ["--back", "motor-unplug=3", "--back", "open-case=8"];
    expect(await runProgram(["close-up", folder, ...all], scriptedIo())).toBe(0);
  });

  it("refuses what is not a job", async () => {
    const io = scriptedIo();
    writeFileSync(join(parent, "file"), "");
    expect(await runProgram(["close-up", parent], io)).toBe(2);
    expect(io.messages.join()).toContain("[job/not-a-job]");
  });
});
