import type { PlanInput } from "../plan/schema.js";
import { knownData, knownPoints, leadData } from "./common.js";
import { cordedInside } from "./corded-inside.js";
import { cordedOutside } from "./corded-outside.js";
import { cordedSafety } from "./corded-safety.js";

/**
 * Corded tool with a universal motor, mains unplugged throughout. What may be repaired, tested and
 * handed back by whom is for local codes and licensed practice; this plan finds the fault, and its
 * limits of protective conductor and insulation do not replace the test after repair.
 */
export const cordedUniversal: PlanInput = {
  format: "leadhand-plan",
  version: 1,
  id: "corded-universal",
  title: "Corded tool, universal motor, unplugged",
  revision: "2026-11-25",
  tool: {
    kind: "corded-universal",
    data: {
      ...knownData,
      ...leadData,
      rated_V: { label: "Rated voltage", unit: "V", default: 230 },
      rated_W: { label: "Rated power", unit: "W", default: 800 },
      cord_m: { label: "Length of the cord", unit: "m", default: 4 },
      insulation_ohm: {
        label: "Least insulation: 2 MΩ double insulated (class II), 1 MΩ earthed (class I)",
        unit: "Ω",
        default: 2e6,
      },
    },
  },
  points: [
    ...knownPoints,
    { id: "plug-live", label: "live pin of the plug", part: "cord" },
    { id: "plug-neutral", label: "neutral pin of the plug", part: "cord" },
    { id: "plug-earth", label: "earth contact of the plug", part: "cord" },
    { id: "switch-in-live", label: "switch input live", part: "switch" },
    { id: "switch-in-neutral", label: "switch input neutral", part: "switch" },
    { id: "switch-out-live", label: "switch output live", part: "switch" },
    { id: "switch-out-neutral", label: "switch output neutral", part: "switch" },
    { id: "field-in", label: "field winding, switch end", part: "field" },
    { id: "field-out", label: "field winding, brush end", part: "field" },
    { id: "brush-a", label: "brush A", part: "brushes" },
    { id: "brush-b", label: "brush B", part: "brushes" },
    { id: "commutator-a", label: "commutator, at the place of brush A", part: "armature" },
    { id: "commutator-b", label: "commutator, at the place of brush B", part: "armature" },
    { id: "body", label: "bare metal that can be touched", part: "body" },
  ],
  steps: [...cordedOutside, ...cordedInside, ...cordedSafety],
};
