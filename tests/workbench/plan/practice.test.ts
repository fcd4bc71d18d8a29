import { beforeAll, describe, expect, it } from "vitest";
import { bundledPlan } from "../../../workbench/plans/bundled.js";
import { createRunner } from "../../../workbench/plan/runner.js";
import { findProtocol } from "../../../protocols/registry.js";
import { HAND_HELD, practiceRun } from "./practice-run.js";
import type { PracticeRun } from "./practice-run.js";

// The whole list of faults is in tests/end-to-end/brushed-plan.test.ts.
const plan = bundledPlan("cordless-brushed");
const PATIENT_MS = 60_000;

describe("the brushed plan on the practice bench, the simulated hand alone", () => {
  let run: PracticeRun;
  beforeAll(async () => {
    run = await practiceRun({ plan, faults: ["switch-burnt"], seed: 5 });
  }, PATIENT_MS);

  it("comes to its end and finds the burnt switch", () => {
    expect(run.finished).toBe(true);
    expect(run.results.get("switch-out")?.verdict).toBe("fail");
    expect(run.results.get("switch-works")?.verdict).toBe("fail");
    expect(run.results.get("lead-red")?.verdict).toBe("pass");
  });

  // A reading comes at the arrival of the byte that completes its frame, however it was cut.
  it.each([1, 2, 5, 14])("the same bytes in chunks of %i give the same events", (size) => {
    const runner = createRunner({
      plan,
      toolData: {},
      accuracy: new Map([["a", HAND_HELD]]),
      startAt_s: 0,
    });
    const decoder = findProtocol("segment-14").createDecoder();
    const events = runner.start();
    for (const { bytes, time_s } of run.chunks) {
      for (let from = 0; from < bytes.length; from += size) {
        for (const decoded of decoder.push(bytes.subarray(from, from + size))) {
          const reading = { ...decoded, time_s, channel: "a" };
          events.push(...runner.push({ kind: "reading", reading }));
        }
      }
    }
    expect(JSON.stringify(events)).toBe(JSON.stringify(run.events));
  });
});
