import { describe, expect, it } from "vitest";
import { isApart, leftWords, takenApart } from "../../../workbench/plan/taken-apart.js";
import type { ApartEvent } from "../../../workbench/plan/taken-apart.js";
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
  doStep("join", { putsBack: ["motor", "switch"] }),
  doStep("close", { putsBack: ["case"] }),
]);

/** What the runner records when the first three steps are done, or skipped, one a second. */
function run(skip: readonly string[] = []): ApartEvent[] {
  const { runner } = benchFor(plan);
  return ["case", "switch", "motor"].flatMap((step, n) =>
    runner
      .push(
        skip.includes(step)
          ? { kind: "skip", step, reason: "not needed", time_s: n + 1 }
          : { kind: "confirm", step, choice: null, time_s: n + 1 },
      )
      .filter((event) => isApart(event)),
  );
}

const noted = (step: string, item: number, what: string, fasteners: number): ApartEvent => ({
  kind: "removed",
  time_s: 9,
  step,
  item,
  what,
  from: "tool",
  fasteners,
  fastenerKind: "screw 4 × 16",
  withdrawn: false,
});
const back = (step: string, fasteners: number | null, item = 0): ApartEvent => ({
  kind: "put-back",
  time_s: 20,
  step,
  item,
  fasteners,
});
const done = (step: string): ApartEvent => ({
  kind: "step",
  time_s: 30,
  result: { step, reason: "confirmed by hand" },
});

const steps = (events: readonly ApartEvent[]) =>
  takenApart(plan, events).order.map(({ step }) => step);

describe("the order of work taken apart", () => {
  it("keeps what came off and when, last off first", () => {
    expect(takenApart(plan, run()).order).toMatchObject([
      { step: "motor", fasteners: 2, at_s: 3, back: null },
      { step: "switch", fasteners: 0, fastenerKind: "" },
      { step: "case", what: "upper half", fasteners: 8, fastenerKind: "screw 4 × 16", at_s: 1 },
    ]);
  });

  it("takes a person's word for the plan's, in the same place, and what came off besides", () => {
    const list = takenApart(plan, [
      ...run(),
      noted("case", 0, "upper half, cracked", 7),
      noted("case", 1, "belt clip", 1),
    ]);
    expect(list.order.map(({ what, fasteners }) => [what, fasteners])).toEqual([
      ["belt clip", 1],
      ["motor", 2],
      ["switch", 0],
      ["upper half, cracked", 7],
    ]);
  });

  it("keeps what was noted before the step was done", () => {
    const list = takenApart(plan, [noted("case", 0, "upper half", 7), ...run()]);
    expect(list.order.at(-1)).toMatchObject({ step: "case", fasteners: 7 });
  });

  it("keeps photos, also one that came before the note", () => {
    const photo = (file: string): ApartEvent => ({
      kind: "photo",
      time_s: 0.5,
      file,
      of: { step: "case", item: 0 },
    });
    const list = takenApart(plan, [photo("1.jpg"), ...run(), photo("2.jpg"), photo("2.jpg")]);
    expect(list.order.at(-1)!.photos).toEqual(["1.jpg", "2.jpg"]);
  });

  it("takes nothing off in a step that was skipped, nor twice in one that was repeated", () => {
    expect(steps(run(["motor"]))).toEqual(["switch", "case"]);
    expect(steps([...run(), done("case")])).toEqual(["motor", "switch", "case"]);
  });

  it("leaves out what did not come off after all", () => {
    const withdrawn = { ...noted("case", 0, "upper half", 8), withdrawn: true } as ApartEvent;
    expect(steps([withdrawn, ...run()])).toEqual(["motor", "switch"]);
    expect(steps([withdrawn, ...run(), noted("case", 0, "upper half", 8)])).toContain("case");
  });

  it("takes off again what had been put back", () => {
    const list = takenApart(plan, [...run(), back("case", 8), done("case")]);
    expect(list.order[0]).toMatchObject({ step: "case", back: null });
  });
});

describe("closing up", () => {
  it("is the way back, and counts what is left over", () => {
    const list = takenApart(plan, run());
    expect(list.order[0]!.words).toBe("Back onto the tool: motor; 2 × screw 4 × 16.");
    expect(list).toMatchObject({ leftOver: { "screw 4 × 16": 10 }, partsLeft: 3 });
  });

  it("is done when every part and screw went back", () => {
    const list = takenApart(plan, [...run(), back("motor", 2), back("switch", 0), back("case", 8)]);
    expect(list).toMatchObject({ leftOver: {}, partsLeft: 0 });
    expect(leftWords(list)).toBe("Nothing is left over.");
  });

  it("says that a screw is left over, or one too many, and where it belongs", () => {
    const short = takenApart(plan, [
      ...run(),
      back("motor", 2),
      back("switch", 0),
      back("case", 7),
    ]);
    expect(short.order.find(({ step }) => step === "case")!.fastenersLeft).toBe(1);
    expect(leftWords(short)).toBe("Left over: 0 parts, 1 × screw 4 × 16.");
    const over = takenApart(plan, [...run(), back("motor", 2), back("switch", 0), back("case", 9)]);
    expect(leftWords(over)).toContain("1 × screw 4 × 16 too many");
  });

  it("takes the word of a step that puts things back, and says that nobody counted", () => {
    const list = takenApart(plan, [...run(), back("motor", 1), done("join"), done("close")]);
    expect(list.order.map(({ step, back }) => [step, back])).toEqual([
      ["motor", { fasteners: 1, counted: true }],
      ["switch", { fasteners: 0, counted: false }],
      ["case", { fasteners: 8, counted: false }],
    ]);
    expect(leftWords(list)).toBe("Left over: 0 parts, 1 × screw 4 × 16.");
  });

  it("is open again for what turns out to be off after all", () => {
    const list = takenApart(plan, [...run(), back("motor", 2), back("motor", null)]);
    expect(list.order[0]).toMatchObject({ step: "motor", back: null, fastenersLeft: 2 });
  });
});
