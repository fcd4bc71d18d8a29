import { describe, expect, it } from "vitest";
import { closingList, takenApart } from "../../../workbench/plan/taken-apart.js";
import { benchFor, doStep, measure, planOf } from "./bench.js";

const off = (id: string, what: string, fasteners: number, fastenerKind?: string) =>
  doStep(id, {
    removes: { what, from: "tool", fasteners, ...(fastenerKind ? { fastenerKind } : {}) },
  });

const plan = planOf([
  off("case", "upper half", 8, "screw 4 × 16"),
  off("switch", "switch", 0),
  off("motor", "motor", 2, "screw 4 × 16"),
  measure("brushes"),
]);

function run(skip: readonly string[] = []) {
  const { runner } = benchFor(plan);
  for (const step of ["case", "switch", "motor"]) {
    const time_s = runner.results.size + 1;
    runner.push(
      skip.includes(step)
        ? { kind: "skip", step, reason: "not needed", time_s }
        : { kind: "confirm", step, choice: null, time_s },
    );
  }
  return [...runner.results.values()];
}

describe("the order of work taken apart", () => {
  it("keeps what came off, when, and what was noted beside it", () => {
    const notes = [{ step: "case", fasteners: 9, photo: "photo-0001.jpg" }];
    expect(takenApart(plan, run(), notes)).toEqual([
      expect.objectContaining({ step: "case", fasteners: 9, photo: "photo-0001.jpg", at_s: 1 }),
      expect.objectContaining({ step: "switch", fasteners: 0, fastenerKind: null, photo: null }),
      expect.objectContaining({ step: "motor", fasteners: 2 }),
    ]);
  });

  it("takes nothing off in a step that was skipped", () => {
    expect(takenApart(plan, run(["motor"])).map(({ step }) => step)).toEqual(["case", "switch"]);
  });
});

describe("closing up", () => {
  const removals = takenApart(plan, run());

  it("is the way back, and counts what is left over", () => {
    const list = closingList(removals);
    expect(list.order.map(({ step }) => step)).toEqual(["motor", "switch", "case"]);
    expect(list.order[0]!.words).toBe("Back onto the tool: motor; 2 × screw 4 × 16.");
    expect(list).toMatchObject({ leftOver: { "screw 4 × 16": 10 }, partsLeft: 3 });
  });

  it("is done when every part and screw went back", () => {
    const back = [
      { step: "motor", fasteners: 2 },
      { step: "switch", fasteners: 0 },
      { step: "case", fasteners: 8 },
    ];
    expect(closingList(removals, back)).toMatchObject({ leftOver: {}, partsLeft: 0 });
  });

  it("says that a screw is left over, and where it belongs", () => {
    const list = closingList(removals, [
      { step: "motor", fasteners: 2 },
      { step: "switch", fasteners: 0 },
      { step: "case", fasteners: 7 },
    ]);
    expect(list).toMatchObject({ leftOver: { "screw 4 × 16": 1 }, partsLeft: 0 });
    expect(list.order.find(({ step }) => step === "case")!.fastenersLeft).toBe(1);
  });
});
