import type { PlanInput } from "../plan/schema.js";
import { brushedMotor, brushedPoints, brushedSupply, brushedUnderPower } from "./brushed.js";
import { cellData, cordlessPoints, knownData, leadData, packOut } from "./common.js";
import { PRACTICE } from "./sources.js";
import { ohms } from "./steps.js";

/**
 * Cordless drill, brushed motor, electronic speed trigger. Its transistor does not conduct without
 * supply, so that ohms through the trigger tell nothing, squeezed or not: the trigger is judged
 * under power alone, fully squeezed, where it does not chop. What ohms can tell is whether the
 * free-wheel diode across its output is shorted.
 */
export const cordlessBrushedElectronic: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "cordless-brushed-electronic",
  title: "Cordless drill, brushed motor, electronic trigger",
  revision: "2026-11-25",
  tool: { kind: "cordless-brushed-electronic", data: { ...cellData, ...knownData, ...leadData } },
  points: [...cordlessPoints, ...brushedPoints],
  steps: [
    ...brushedSupply,
    ...brushedUnderPower,
    packOut,
    ohms("trigger-input", "Trigger input, not shorted", {
      instruction:
        "Pack out, trigger released. Red on switch input plus, black on switch input minus. The value may creep up while a capacitor charges.",
      cautions: ["capacitor"],
      red: "switch-in-plus",
      black: "switch-in-minus",
      condition: { pack: "out", case: "open" },
      low: 100,
      source: `a shorted transistor or capacitor shows a few ohms: ${PRACTICE}`,
      pass: "The input of the trigger is not shorted.",
      fail: "Transistor or capacitor of the trigger is shorted.",
    }),
    ...brushedMotor,
  ],
};
