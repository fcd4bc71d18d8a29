import { beforeAll, describe, expect, it } from "vitest";
import { practiceKind } from "../../../drivers/practice/kinds.js";
import { observationsOf } from "../../../workbench/diagnosis/from-step.js";
import { report } from "../../../workbench/diagnosis/report.js";
import type { Report } from "../../../workbench/diagnosis/report.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";
import { practiceRun } from "../plan/practice-run.js";
import { model } from "./bench.js";

/**
 * The practice bench was written apart from the reasoning and solves the motor in time: what it
 * measures is an outside check of the predictions.
 */
const plan = bundledPlan("cordless-brushed");
const faults = practiceKind("cordless-brushed").faults;

/** What this plan cannot tell apart: only with the motor out are commutator and shaft reached. */
const ALIKE: Readonly<Record<string, readonly string[]>> = {
  "brush-worn": ["brushes", "motor"],
  "brush-stuck": ["brushes", "motor"],
  "motor-open": ["brushes", "motor"],
  "motor-burnt-bar": ["brushes", "motor"],
  "motor-seized": ["motor", "gear-train"],
  "gear-jam": ["motor", "gear-train"],
};

async function diagnosed(hidden: readonly string[], seed = 11): Promise<Report> {
  const run = await practiceRun({ plan, faults: hidden, seed });
  const tool = model("cordless-brushed", { cells: 5, charger: "always-live" });
  const measured = plan.steps.flatMap((step) => {
    const result = run.results.get(step.id);
    return result === undefined ? [] : observationsOf(tool, step, result);
  });
  return report(tool, measured);
}

describe.each(faults)("with $id hidden on the practice bench", ({ id, part }) => {
  let found: Report;
  beforeAll(async () => {
    found = await diagnosed([id]);
  }, 60_000);

  it(`the first candidate is one part: ${(ALIKE[id] ?? [part]).join(" or ")}`, () => {
    const [first] = found.candidates;
    expect(first?.parts).toHaveLength(1);
    expect(ALIKE[id] ?? [part]).toContain(first?.parts[0]);
  });

  it(`${part} is suspect or condemned`, () => {
    expect(found.parts.find((one) => one.part === part)?.state).toMatch(/suspect|condemned/);
  });
});

it("with nothing hidden nothing is condemned", async () => {
  const found = await diagnosed([]);
  expect(found.candidates[0]?.parts).toEqual([]);
  expect(found.parts.filter((one) => one.state === "condemned")).toEqual([]);
}, 60_000);

describe("with two faults hidden", () => {
  it.each([
    ["charger-dead", "lead-red-broken", ["charger", "lead-red"]],
    ["terminal-corroded", "lead-black-broken", ["lead-black"]],
    ["switch-open", "lead-red-broken", ["switch", "lead-red"]],
    ["pack-asleep", "switch-open", ["pack", "switch"]],
  ] as const)(
    "%s and %s are both found",
    async (first, second, parts) => {
      const found = await diagnosed([first, second]);
      const states = new Map(found.parts.map((one) => [one.part, one.state]));
      for (const part of parts) expect(states.get(part), part).toMatch(/suspect|condemned/);
    },
    60_000,
  );

  it("a pack that nothing loads is not cleared of being weak", async () => {
    const found = await diagnosed(["pack-weak-cell", "lead-black-broken"]);
    const states = new Map(found.parts.map((one) => [one.part, one.state]));
    expect(states.get("lead-black")).toBe("condemned");
    expect(states.get("pack")).toBe("unknown");
    // The motor, fed directly, has run: of it next to nothing is left, of the pack something.
    const odds = new Map(found.parts.map((one) => [one.part, one.odds]));
    expect(odds.get("motor")).toBeLessThan(0.2 * (odds.get("pack") ?? 0));
  }, 60_000);
});
