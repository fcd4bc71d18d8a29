import { describe, expect, it } from "vitest";
import { OHMS, ask, settled } from "./harness.js";

const KIND = { kind: "cordless-brushed-electronic" };
const through = ["switch-in-plus", "switch-out-plus"] as const;
const out = ["switch-out-plus", "switch-out-minus"] as const;
const running = { case: "open", pack: "in", trigger: "squeezed" } as const;
const released = { ...running, trigger: "released" } as const;

describe("an electronic trigger", () => {
  it("does not conduct on ohms, squeezed or not, when it is not supplied", async () => {
    for (const trigger of ["squeezed", "released"] as const) {
      const { value } = await settled(ask(...through, { case: "open", trigger }, OHMS), KIND);
      expect(value).toBeGreaterThan(1e6);
    }
  });

  it("passes the supply on when it is supplied and squeezed, and only then", async () => {
    expect((await settled(ask(...out, running), KIND)).value).toBeGreaterThan(19);
    expect((await settled(ask(...out, released), KIND)).value).toBeLessThan(0.1);
  });

  it.each([
    ["switch-dead", running, -0.1, 0.1],
    ["switch-weak", running, 8, 17],
    ["switch-shorted", released, 19, 21],
  ] as const)("%s shows at the output", async (fault, condition, low, high) => {
    const { value } = await settled(ask(...out, condition), { ...KIND, faults: [fault] });
    expect(value).toBeGreaterThan(low);
    expect(value).toBeLessThan(high);
  });

  it("shows a shorted transistor on ohms", async () => {
    const request = ask(...through, { case: "open" }, OHMS);
    const { value } = await settled(request, { ...KIND, faults: ["switch-shorted"] });
    expect(value).toBeLessThan(0.5);
  });
});
