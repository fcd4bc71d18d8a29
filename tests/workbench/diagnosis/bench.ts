import { expect } from "vitest";
import type { Measured, Observation } from "../../../workbench/diagnosis/observation.js";
import { modelOf } from "../../../workbench/models/kinds.js";
import type { ToolModel } from "../../../workbench/models/model.js";
import type { ToolData } from "../../../workbench/models/tool-data.js";

/** A 5s pack and, where a test does not say otherwise, a tool without surprises. */
const PLAIN: ToolData = { nominal_V: 18, trigger: "mechanical", charger: "always-live" };

export function model(kind = "cordless-brushed", data: ToolData = PLAIN): ToolModel {
  const found = modelOf(kind, data);
  expect(found).not.toBeNull();
  return found!;
}

function measured(
  tool: ToolModel,
  quantity: Measured["quantity"],
  [red, black]: readonly [string, string],
  condition: string,
  value: number | null,
  more: Partial<Measured>,
): Measured {
  const named = tool.conditions.find((one) => one.id === condition);
  expect(named, condition).toBeDefined();
  for (const id of [red, black]) expect(tool.points.map((p) => p.id)).toContain(id);
  return {
    kind: "measured",
    quantity,
    red,
    black,
    condition: named!.condition,
    value,
    u: null,
    proved: false,
    unsteady: null,
    ...more,
  };
}

type Take = (
  points: readonly [string, string],
  condition: string,
  value: number | null,
  more?: Partial<Measured>,
) => Observation;

export function meter(tool: ToolModel): { volts: Take; ohms: Take } {
  return {
    volts: (points, condition, value, more = {}) =>
      measured(tool, "voltage", points, condition, value, more),
    ohms: (points, condition, value, more = {}) =>
      measured(tool, "resistance", points, condition, value, more),
  };
}

export const CHARGER = ["charger-plus", "charger-minus"] as const;
export const PACK = ["pack-plus", "pack-minus"] as const;
export const SWITCH_IN = ["switch-in-plus", "switch-in-minus"] as const;
export const SWITCH_OUT = ["switch-out-plus", "switch-out-minus"] as const;
export const BRUSHES = ["brush-a", "brush-b"] as const;
