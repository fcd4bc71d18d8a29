import { describe, expect, it } from "vitest";
import { meterFormOf, tableOf } from "../../../renderer/desk/meter-text.js";
import { emptyBooking } from "../../../renderer/desk/booking-fields.js";
import { startRequest } from "../../../renderer/desk/start-request.js";
import { calls } from "../../../workbench/contract/calls.js";

describe("the meter form", () => {
  it("gives back the table that it was filled from", () => {
    const table = {
      meter: "Demo hand-held",
      calibrated: null,
      valid_months: 12,
      temperature_degC: { low: 20, high: 26 },
      temperatureCoefficient: 0.05,
      lines: [
        {
          quantity: "resistance",
          coupling: null,
          resolution: 0.1,
          upTo: 600,
          percentOfReading: 0.9,
          counts: 3,
          note: "after two minutes",
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
    startRequest("cordless-brushed", [{ address: "practice:bench", table }], {
      ...emptyBooking,
      ...more,
    });

  it("says nothing of what was not filled in", () => {
    expect(ask({})).toEqual({ plan: "cordless-brushed", meters: ["practice:bench"] });
  });
  it("is what the bench takes", () => {
    const request = ask({ make: "Demo Works", customer: "A. Sample" }, "Demo hand-held");
    expect(calls.startRun.params.parse(request)).toMatchObject({
      tool: { make: "Demo Works", warranty: "unknown" },
      customer: { name: "A. Sample" },
      tables: ["Demo hand-held"],
    });
  });
});
