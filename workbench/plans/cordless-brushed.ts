import type { PlanInput } from "../plan/schema.js";
import {
  brushedMotor,
  brushedPoints,
  brushedSupply,
  brushedUnderPower,
  switchMinus,
  switchWorks,
} from "./brushed.js";
import { cellData, cordlessPoints, knownData, leadData, packOut } from "./common.js";

/**
 * Cordless drill, brushed motor, mechanical trigger switch: from the supply towards the work, first
 * what can be read under power, then, with the pack out, what only ohms can tell.
 */
export const cordlessBrushed: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "cordless-brushed",
  title: "Cordless drill, brushed motor, mechanical switch",
  revision: "2026-11-25",
  tool: { kind: "cordless-brushed", data: { ...cellData, ...knownData, ...leadData } },
  points: [...cordlessPoints, ...brushedPoints],
  steps: [
    ...brushedSupply,
    ...brushedUnderPower,
    packOut,
    switchWorks,
    switchMinus,
    ...brushedMotor,
  ],
};
