import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import type { NewJob } from "../../../workbench/job/job-folder.js";
import { planSchema } from "../../../workbench/plan/schema.js";
import type { StepResult } from "../../../workbench/plan/step-result.js";

/** A folder that is gone after the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "leadhand-"));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

const plan = planSchema.parse({
  format: "leadhand-plan",
  version: 1,
  id: "two-step",
  title: "Pack and wall",
  revision: "1",
  tool: { kind: "drill", data: { cells: { label: "Cells", unit: "", default: 5 } } },
  points: [
    { id: "pack-plus", label: "Pack plus", part: "pack" },
    { id: "pack-minus", label: "Pack minus", part: "pack" },
  ],
  steps: [
    {
      kind: "measure",
      id: "pack-open",
      title: "Pack, open circuit",
      instruction: "Red on pack plus, black on pack minus.",
      quantity: "voltage",
      coupling: "dc",
      red: "pack-plus",
      black: "pack-minus",
      condition: {},
      watch: { kind: "settle" },
      limits: { low: 17.5, high: 21, source: "common practice, no source" },
      means: { pass: "The pack holds charge.", fail: "The pack is flat or has a dead cell." },
      cautions: ["pack"],
    },
  ],
});

/** An invented tool of an invented make. */
export function newJob(changes: Partial<NewJob> = {}): NewJob {
  return {
    startedAt: "2026-03-02T09:15:00+01:00",
    programVersion: "0.0.0-test",
    tool: {
      make: "Examplemaker",
      model: "EX-18",
      serial: "DEMO-0001",
      complaint: "Dead. No turn, no hum.",
    },
    meters: [{ channel: "a", address: "practice:?protocol=scpi", protocol: "scpi" }],
    plan,
    origin_ns: 0n,
    ...changes,
  };
}

export function stepResult(changes: Partial<StepResult> = {}): StepResult {
  return {
    event: "step",
    step: "pack-open",
    verdict: "pass",
    value: 19.84,
    overload: false,
    unit: "V",
    resolution: 0.01,
    uncertainty: 0.07,
    k: 2,
    limits: { low: 17.5, high: 21 },
    rule: "guarded",
    risk: 0,
    doubt: null,
    polarity: "reversed",
    zero: null,
    started_s: 1,
    ended_s: 2.5,
    details: {},
    reason: null,
    ...changes,
  };
}

/** A chunk of text that arrives at a time on the job's time base. */
export function chunkAt(time_s: number, text: string): { bytes: Uint8Array; arrival_ns: bigint } {
  return {
    bytes: new TextEncoder().encode(text),
    arrival_ns: BigInt(Math.round(time_s * 1e9)),
  };
}
