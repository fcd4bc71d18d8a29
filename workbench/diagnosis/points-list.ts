import type { BenchCondition, ToolModel } from "../models/model.js";
import type { ReadingsFile } from "./readings-file.js";

/** What `leadhand diagnose --points KIND --json` prints: all that a readings file may say. */
export interface PointsList {
  readonly kind: string;
  readonly title: string;
  readonly tool: Readonly<Record<string, string>>;
  readonly quantities: readonly { readonly quantity: string; readonly units: readonly string[] }[];
  readonly points: readonly { id: string; label: string; reach: string }[];
  readonly conditions: readonly ({ id: string; label: string } & BenchCondition)[];
  readonly observations: readonly {
    id: string;
    label: string;
    values: readonly string[];
  }[];
  readonly parts: readonly { id: string; label: string; faults: readonly string[] }[];
  readonly reading: Readonly<Record<string, string>>;
  readonly example: ReadingsFile;
}

const REACH = { closed: "without opening", open: "case open", "motor-out": "motor out" } as const;

const TOOL_FIELDS = {
  nominal_V: "number, volts; default 18",
  cells: "whole number of cells in series; default nominal_V / 3.6",
  trigger: '"mechanical", "electronic" or "unknown"',
  charger: '"always-live", "silent-without-pack" or "unknown"',
  insulation: '"class-1" (earthed), "class-2" (double insulated) or "unknown"; tools on mains only',
};

const READING_FIELDS = {
  red: "point of the red lead",
  black: "point of the black lead",
  condition:
    "id of a condition, or an object with any of trigger, pack, charger, shaft, mains, motor and their values",
  unit: "V, mV, Ω, ohm, kΩ, MΩ; decides between voltage and resistance",
  value: 'number; null or "OL" for over range (open circuit)',
  samples: "instead of value: several samples of one touch, in order",
  proved: "true when a zero or an open was proved by touching again and showing a live source",
  uncertainty: "optional, expanded, in the unit; with k, 2 where absent",
};

export function pointsList(model: ToolModel): PointsList {
  return {
    kind: model.kind,
    title: model.title,
    tool: TOOL_FIELDS,
    quantities: [
      { quantity: "voltage", units: ["V", "mV"] },
      { quantity: "resistance", units: ["Ω", "kΩ", "MΩ"] },
    ],
    points: model.points.map(({ id, label, access }) => ({ id, label, reach: REACH[access] })),
    conditions: model.conditions.map(({ id, label, condition }) => ({ id, label, ...condition })),
    observations: model.sightings.map(({ id, label, values }) => ({ id, label, values })),
    parts: model.parts.map(({ id, label, modes }) => ({
      id,
      label,
      faults: modes.map((mode) => mode.id),
    })),
    reading: READING_FIELDS,
    example: exampleFor(model),
  };
}

/** A file that is accepted as it stands: the first measurements of the fixed order. */
function exampleFor(model: ToolModel): ReadingsFile {
  const readings = model.probes.slice(0, 3).map(({ quantity, red, black, condition }) => ({
    red,
    black,
    condition,
    value: quantity === "voltage" ? model.nominal_V : 0.3,
    unit: quantity === "voltage" ? "V" : "Ω",
  }));
  const first = model.sightings[0];
  return {
    kind: model.kind,
    tool: { nominal_V: model.nominal_V },
    readings,
    observations: first === undefined ? {} : { [first.id]: first.values.at(-1) ?? "" },
  };
}
