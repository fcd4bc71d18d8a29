import { describe, expect, it } from "vitest";
import { findingsAt } from "../../../renderer/plan-edit/edit-context.js";
import { getAt, listAt, pathText, setAt, textAt } from "../../../renderer/plan-edit/json-path.js";
import type { Json } from "../../../renderer/plan-edit/json-path.js";
import {
  addStep,
  copyStep,
  limitOf,
  moveStep,
  readText,
  renameStep,
  stepOf,
  writeText,
} from "../../../renderer/plan-edit/plan-text.js";
import { PLAN_CHOICES } from "../../../workbench/contract/plan-choices.js";
import { readPlan } from "../../../workbench/plan/load.js";
import { bundledPlan, bundledPlans } from "../../../workbench/plans/bundled.js";

const text = writeText(bundledPlan("cordless-brushless"));
const plan = readText(text)!;
const steps = (of: Json | undefined) => listAt(of, ["steps"]).map((step) => textAt(step, ["id"]));

describe("a plan's text", () => {
  it.each(bundledPlans().map((each) => [each.id, each] as const))(
    "%s is the same after the form had it",
    (_id, each) => {
      expect(readText(writeText(each as unknown as Json))).toEqual(
        JSON.parse(JSON.stringify(each)),
      );
    },
  );
  it("has no form for what is no JSON object", () => {
    expect([readText("{"), readText("[]"), readText("7")]).toEqual([null, null, null]);
  });
});

describe("a place in a plan", () => {
  it("is changed alone, in its order", () => {
    const changed = setAt(plan, ["steps", 1, "title"], "Another");
    expect(textAt(changed, ["steps", 1, "title"])).toBe("Another");
    expect(getAt(changed, ["steps", 2])).toBe(getAt(plan, ["steps", 2]));
    expect(Object.keys(changed as object)).toEqual(Object.keys(plan));
  });
  it("is made where it was not, and taken away", () => {
    const made = setAt(plan, ["steps", 1, "removes", "what"], "cover");
    expect(getAt(made, ["steps", 1, "removes"])).toEqual({ what: "cover" });
    expect(setAt(made, ["steps", 1, "removes"], undefined)).toEqual(plan);
    expect(steps(setAt(plan, ["steps", 0], undefined))).toEqual(steps(plan).slice(1));
  });
  it("is named as the loader names it", () => {
    expect(pathText(["steps", 3, "limits", "low"])).toBe("$.steps[3].limits.low");
    expect(pathText(["a b"])).toBe('$["a b"]');
    const broken = setAt(plan, ["steps", 6, "limits", "low"], true);
    const [problem] = readPlan(broken).problems;
    const found = { ...problem!, level: "error" as const };
    expect(findingsAt([found], ["steps", 6, "limits", "low"])).toEqual([found]);
    expect(findingsAt([found], ["steps", 6])).toEqual([]);
    expect(findingsAt([found], ["steps", 6], true)).toEqual([found]);
    expect(findingsAt([found], ["steps", 40], true)).toEqual([]);
  });
});

describe("limits as they are typed", () => {
  it("are a number, a formula, or none", () => {
    expect(limitOf("17.5")).toBe(17.5);
    expect(limitOf("cells * 3.5")).toBe("cells * 3.5");
    expect(limitOf(" ")).toBeUndefined();
  });
  it("keep the space that is being typed in a formula", () => {
    expect(limitOf("cells ")).toBe("cells ");
  });
});

describe("steps", () => {
  it.each(PLAN_CHOICES.kind)("a new one of kind %s is a step that loads", (kind) => {
    const { problems } = readPlan(addStep(plan, 2, kind));
    expect(problems).toEqual([]);
  });
  it.each(PLAN_CHOICES.kind)("any one can become a %s, and keeps its words", (kind) => {
    const step = getAt(plan, ["steps", 0]) as Record<string, Json>;
    const turned = stepOf(kind, plan, step);
    expect(turned).toMatchObject({ kind, id: "pack-outside", title: step["title"] });
    expect(
      readPlan(setAt(plan, ["steps", 0], turned)).problems.map(({ code }) => code),
    ).not.toContain("plan/shape");
  });
  it("are moved, copied under another name, and not moved out of the list", () => {
    expect(steps(moveStep(plan, 0, 2)).slice(0, 3)).toEqual([
      "meter-proof",
      "charger-on",
      "pack-outside",
    ]);
    expect(steps(copyStep(plan, 0)).slice(0, 2)).toEqual(["pack-outside", "pack-outside-2"]);
    expect(moveStep(plan, 0, -1)).toBe(plan);
    expect(moveStep(plan, 0, 999)).toBe(plan);
  });
  it("are renamed with everything that leads to them", () => {
    for (const id of ["pack-rest", "winding-uv", "open-case", "motor-unplug", "terminals-rest"]) {
      const at = steps(plan).indexOf(id);
      const renamed = renameStep(plan, at, "renamed");
      expect(readPlan(renamed).problems).toEqual([]);
      expect(writeText(renamed)).not.toContain(`"${id}"`);
      expect(writeText(renamed)).not.toContain(`\\"${id}\\"`);
    }
  });
});
