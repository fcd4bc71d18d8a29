import type { PlanInput } from "../../workbench/plan/schema.js";

/** A small plan around the steps of a test. */
export function smallPlan(steps: PlanInput["steps"]): PlanInput {
  return {
    format: "leadhand-plan",
    version: 1,
    id: "small",
    title: "A small plan",
    revision: "1",
    tool: { kind: "cordless-brushed", data: {} },
    points: [
      { id: "known-plus", label: "known source plus", part: "known-source", source: true },
      { id: "known-minus", label: "known source minus", part: "known-source", source: true },
      { id: "pack-plus", label: "pack plus", part: "pack", source: true },
      { id: "pack-minus", label: "pack minus", part: "pack", source: true },
      { id: "brush-a", label: "brush A", part: "brushes" },
      { id: "brush-b", label: "brush B", part: "brushes" },
    ],
    steps,
  };
}

/** Volts of a known source, settled: the smallest step there is. */
export const knownSource = {
  kind: "measure",
  id: "source",
  title: "Known source",
  instruction: "Red on plus, black on minus.",
  quantity: "voltage",
  coupling: "dc",
  red: "known-plus",
  black: "known-minus",
  condition: {},
  watch: { kind: "settle", window_s: 0.8, counts: 3 },
  limits: { low: 8, high: 10, source: "common practice, no source" },
  means: { pass: "good", fail: "bad" },
} as const;

type MeasureInput = Extract<PlanInput["steps"][number], { kind: "measure" }>;

/** The same under another name. */
export function volts(id: string, title: string, more: Partial<MeasureInput> = {}): MeasureInput {
  return { ...knownSource, id, title, instruction: `Measure ${title}.`, ...more };
}

/** For two meters: volts of a source on the first, amperes on the second, volts again. */
export const twoMeterPlan = smallPlan([
  volts("source", "the source"),
  volts("amperes", "the current", {
    quantity: "current",
    red: "pack-plus",
    black: "brush-a",
    cautions: ["pack"],
    limits: { low: 2, high: 3, source: "common practice, no source" },
  }),
  volts("brushes", "the brushes", { red: "brush-a", black: "brush-b" }),
]);
