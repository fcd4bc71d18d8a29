import { describe, expect, it } from "vitest";
import { readForm, withLimit, withStep, writeForm } from "../../../renderer/desk/plan-text.js";
import { meterFormOf, tableOf } from "../../../renderer/desk/meter-text.js";
import { emptyBooking } from "../../../renderer/desk/booking-fields.js";
import { startRequest } from "../../../renderer/desk/start-request.js";
import { calls } from "../../../workbench/contract/calls.js";
import { bundledPlan } from "../../../workbench/plans/bundled.js";

const text = JSON.stringify(bundledPlan("cordless-brushed"), null, 2);

describe("the plan form", () => {
  it("changes nothing that it does not know", () => {
    const form = readForm(text);
    expect(form && JSON.parse(writeForm(form))).toEqual(JSON.parse(text));
  });
  it("changes one step and leaves the others as they were", () => {
    const form = readForm(text)!;
    const changed = withStep(form, 1, { title: "Another title" });
    expect(changed.steps[1]?.title).toBe("Another title");
    expect(changed.steps[2]).toBe(form.steps[2]);
  });
  it("takes a number, a formula, or nothing for a limit", () => {
    const step = { id: "s", kind: "measure", title: "S", instruction: "I" };
    const low = (typed: string) => withLimit(step, "low", typed).limits?.low;
    expect(low("17.5")).toBe(17.5);
    expect(low("cells * 3.5")).toBe("cells * 3.5");
    expect(low(" ")).toBeUndefined();
  });
  it("has no form for what is no plan", () => {
    expect(readForm("{")).toBeNull();
    expect(readForm("[]")).toBeNull();
  });
});

describe("the meter form", () => {
  it("gives back the table that it was filled from", () => {
    const table = {
      meter: "Demo hand-held",
      calibrated: null,
      valid_months: 12,
      lines: [
        {
          quantity: "resistance",
          coupling: null,
          resolution: 0.1,
          upTo: 600,
          percentOfReading: 0.9,
          counts: 3,
        },
        {
          quantity: "voltage",
          coupling: "dc",
          resolution: null,
          upTo: null,
          percentOfReading: 0.5,
          counts: 2,
        },
      ],
    };
    expect(tableOf(meterFormOf(table))).toEqual(table);
  });
});

describe("what is asked for at the start", () => {
  const ask = (more: Partial<typeof emptyBooking>, table = "") =>
    startRequest("cordless-brushed", ["practice:bench"], { ...emptyBooking, ...more }, table);

  it("says nothing of what was not filled in", () => {
    expect(ask({})).toEqual({ plan: "cordless-brushed", meters: ["practice:bench"] });
  });
  it("is what the bench takes", () => {
    const request = ask({ make: "Demo Works", customer: "A. Sample" }, "Demo hand-held");
    expect(calls.startRun.params.parse(request)).toMatchObject({
      tool: { make: "Demo Works", warranty: "unknown" },
      customer: { name: "A. Sample" },
      table: "Demo hand-held",
    });
  });
});
