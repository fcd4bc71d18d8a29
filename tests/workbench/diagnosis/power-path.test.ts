import { expect, test } from "vitest";
import { pathSchema } from "../../../workbench/contract/events.js";
import { powerPath } from "../../../workbench/diagnosis/power-path.js";
import { BRUSHES, CHARGER, PACK, SWITCH_IN, SWITCH_OUT, meter, model } from "./bench.js";

const tool = model();
const { volts, ohms } = meter(tool);
const supply = [
  volts(CHARGER, "charger-empty", 21.1),
  volts(PACK, "pack-out", 19.8),
  volts(PACK, "squeezed", 19.7),
];

function state(path: ReturnType<typeof powerPath>, part: string): string | undefined {
  return path.parts.find((one) => one.id === part)?.state;
}

test("before any reading nothing is known and the odds are not shown", () => {
  const path = powerPath(tool, []);
  expect(pathSchema.parse(path)).toEqual(path);
  expect(path.parts.every((part) => part.state === "unknown" && part.odds === null)).toBe(true);
  expect(path.next).not.toBeNull();
});

test("an open switch is condemned with its reading as the reason, the supply is cleared", () => {
  const path = powerPath(tool, [
    ...supply,
    volts(SWITCH_IN, "squeezed", 19.7),
    volts(SWITCH_OUT, "squeezed", 0.01, { proved: true }),
  ]);
  expect(pathSchema.parse(path)).toEqual(path);
  expect(state(path, "charger")).toBe("cleared");
  expect(state(path, "switch")).toBe("condemned");
  const reason = path.parts.find((part) => part.id === "switch")?.reason;
  expect(reason).toContain("0.01 V from switch output plus to switch output minus");
  expect(path.next, "other parts are not tested yet").not.toBeNull();
});

test("a lead is cleared by its own ohms, in words with value and points", () => {
  const path = powerPath(tool, [
    ...supply,
    ohms(["switch-out-plus", "brush-a"], "pack-out", 0.2),
    ohms(BRUSHES, "pack-out", null, { proved: true }),
  ]);
  const lead = path.parts.find((part) => part.id === "lead-red");
  expect(lead?.state).toBe("cleared");
  expect(lead?.reason).toContain("0.20 Ω from switch output plus to brush a");
  expect(state(path, "brushes")).toBe("suspect");
});
