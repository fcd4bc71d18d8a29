import { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { condition as restWith } from "../models/conditions.js";
import { withExperience } from "../models/experience.js";
import type { Experience } from "../models/experience.js";
import { KINDS, modelOf } from "../models/kinds.js";
import type { BenchCondition, ToolModel } from "../models/model.js";
import { packMistake, toolDataSchema } from "../models/tool-data.js";
import type { ToolData } from "../models/tool-data.js";
import { isLive } from "./cost.js";
import { firstMistake } from "./mistake.js";
import { unknownName } from "./nearest.js";
import type { Measured, Observation, Seen } from "./observation.js";
import { condense } from "./samples.js";
import { parseUnit } from "./units.js";

/** A number, or what a meter shows for over range: null, "OL", "open". */
const shown = z.union([
  z.number(),
  z.null(),
  z
    .string()
    .regex(/^(ol|o\.?l\.?|open|overload|∞|inf)$/i, 'a number, null or "OL"')
    .transform(() => null),
]);

const conditionObject = z.strictObject({
  trigger: z.enum(["released", "squeezed", "worked"]).optional(),
  pack: z
    .enum(["in", "out", "known-good", "on-charger", "on-load", "in-with-lamp", "at-motor"])
    .optional(),
  charger: z.enum(["plugged", "unplugged"]).optional(),
  shaft: z.enum(["still", "turned-by-hand"]).optional(),
  case: z.enum(["closed", "open", "motor-out"]).optional(),
  mains: z.enum(["plugged", "unplugged"]).optional(),
  motor: z.enum(["connected", "disconnected"]).optional(),
});
const conditionSchema = z.union([z.string().min(1), conditionObject]);

const readingSchema = z.strictObject({
  red: z.string(),
  black: z.string(),
  condition: conditionSchema,
  quantity: z.enum(["voltage", "resistance", "continuity"]).optional(),
  unit: z.string().optional(),
  value: shown.optional(),
  samples: z.array(shown).min(1).optional(),
  /** Expanded uncertainty in the reading's unit, and its coverage factor. */
  uncertainty: z.number().positive().optional(),
  k: z.number().positive().default(2),
  /** The zero or the open was proved. */
  proved: z.boolean().default(false),
  note: z.string().optional(),
});

const sightingValue = z.union([z.string(), z.boolean()]);

const cautionsSchema = z.strictObject({
  damagedPack: z.boolean().optional(),
  noMains: z.boolean().optional(),
  noPower: z.boolean().optional(),
  noCharging: z.boolean().optional(),
  noDirectFeed: z.boolean().optional(),
});

const readingsFileSchema = z.strictObject({
  kind: z.string(),
  tool: toolDataSchema.default({}),
  readings: z.array(readingSchema).default([]),
  observations: z
    .union([
      z.record(z.string(), sightingValue),
      z.array(z.strictObject({ id: z.string(), value: sightingValue })),
    ])
    .default({}),
  /** What must not be done with this tool. */
  cautions: cautionsSchema.default({}),
  /** What the shop has found in tools of this kind: moves the prior odds. */
  experience: z
    .strictObject({
      tools: z.int().positive(),
      faults: z.array(
        z.strictObject({ part: z.string(), mode: z.string(), count: z.int().nonnegative() }),
      ),
    })
    .optional(),
  /** The odds of a further fault below which the search stops. */
  stopBelow: z.number().gt(0).lt(0.5).default(0.05),
  note: z.string().optional(),
});
export type ReadingsFile = z.input<typeof readingsFileSchema>;

export interface ReadCase {
  readonly model: ToolModel;
  readonly tool: ToolData;
  readonly observations: readonly Observation[];
  readonly cautions: z.output<typeof readingsFileSchema>["cautions"];
  readonly stopBelow: number;
}

/** Checks everything in a readings file against the kind of tool it names. */
export function readCase(file: unknown): ReadCase {
  const parsed = readingsFileSchema.safeParse(file);
  if (!parsed.success) throw malformed(parsed.error);
  const { kind, tool, readings, observations, cautions, experience, stopBelow } = parsed.data;
  const known = modelOf(kind, tool);
  if (known === null) throw wrong("kind", unknownName("kind of tool", kind, KINDS));
  const mistake = packMistake(tool);
  if (mistake !== null) throw wrong("tool", mistake);
  const model = experience === undefined ? known : learned(known, experience);
  const measured = readings.map((reading, i) => measuredOf(model, reading, `readings[${i}]`));
  return {
    model,
    tool,
    observations: [...measured, ...seenOf(model, observations)],
    cautions,
    stopBelow,
  };
}

function learned(model: ToolModel, experience: Experience): ToolModel {
  const parts = model.parts.map((part) => part.id);
  experience.faults.forEach(({ part: id, mode, count }, i) => {
    const path = `experience.faults[${i}]`;
    const part = model.parts.find((one) => one.id === id);
    if (part === undefined) throw wrong(`${path}.part`, unknownName("part", id, parts));
    const modes: string[] = part.modes.map((one) => one.id);
    if (!modes.includes(mode))
      throw wrong(`${path}.mode`, unknownName(`fault of ${id}`, mode, modes));
    if (count > experience.tools) throw wrong(`${path}.count`, "there are fewer tools than that");
  });
  return withExperience(model, experience);
}

type Reading = z.output<typeof readingSchema>;

function measuredOf(model: ToolModel, reading: Reading, path: string): Measured {
  const points = model.points.map((point) => point.id);
  for (const lead of ["red", "black"] as const) {
    if (!points.includes(reading[lead])) {
      throw wrong(`${path}.${lead}`, unknownName(`point of ${model.kind}`, reading[lead], points));
    }
  }
  if (reading.red === reading.black) {
    throw wrong(path, `red and black are both on "${reading.red}"`);
  }
  const { quantity, factor } = quantityOf(reading, path);
  const samples = samplesOf(reading, path);
  const { value, unsteady } = condense(
    quantity,
    samples.map((sample) => (sample === null ? null : sample * factor)),
  );
  if (value === null && quantity === "voltage") {
    throw wrong(`${path}.value`, "a voltage over range tells nothing; repeat it on a higher range");
  }
  if (quantity === "resistance" && (value ?? 0) < -0.5) {
    throw wrong(`${path}.value`, "a resistance cannot be negative");
  }
  const condition = conditionOf(model, reading, quantity, path);
  if (quantity === "resistance" && isLive(condition)) {
    throw new LeadhandError("diagnosis/ohms-on-live", {
      what: `${path}: resistance was measured with a supply connected, so the number means nothing.`,
      action: "Take the pack out, unplug charger and mains, and measure again.",
    });
  }
  const { red, black, proved, uncertainty, k } = reading;
  const u = uncertainty === undefined ? null : (uncertainty * factor) / k;
  return { kind: "measured", quantity, red, black, condition, value, u, proved, unsteady };
}

function quantityOf(
  reading: Reading,
  path: string,
): { quantity: Measured["quantity"]; factor: number } {
  const named = reading.quantity === "continuity" ? "resistance" : reading.quantity;
  if (reading.unit === undefined) {
    if (named === undefined) throw wrong(path, 'neither "unit" nor "quantity" is given');
    return { quantity: named, factor: 1 };
  }
  const unit = parseUnit(reading.unit);
  if (unit === null) throw wrong(`${path}.unit`, `"${reading.unit}" is neither volts nor ohms`);
  if (named !== undefined && named !== unit.quantity) {
    throw wrong(`${path}.unit`, `"${reading.unit}" is not a unit of ${named}`);
  }
  return unit;
}

function samplesOf(reading: Reading, path: string): readonly (number | null)[] {
  if (reading.samples !== undefined && reading.value !== undefined) {
    throw wrong(path, 'give either "value" or "samples", not both');
  }
  if (reading.samples !== undefined) return reading.samples;
  if (reading.value === undefined) throw wrong(path, 'neither "value" nor "samples" is given');
  return [reading.value];
}

function conditionOf(
  model: ToolModel,
  { condition, red, black }: Reading,
  quantity: Measured["quantity"],
  path: string,
): BenchCondition {
  if (typeof condition === "string") {
    const named = model.conditions.find((one) => one.id === condition);
    if (named !== undefined) return named.condition;
    const known = model.conditions.map((one) => one.id);
    const what = unknownName(`condition of ${model.kind}`, condition, known);
    throw wrong(`${path}.condition`, what);
  }
  const given = Object.fromEntries(
    Object.entries(condition).filter(([, value]) => value !== undefined),
  ) as Partial<BenchCondition>;
  const onCharger =
    quantity === "voltage" && (red.startsWith("charger-") || black.startsWith("charger-"));
  const onPack = red.startsWith("pack-") && black.startsWith("pack-");
  // Volts on a tool need a pack in it; what a person does not say is the way that makes sense.
  const needsPack =
    quantity === "voltage" && !onCharger && (!onPack || given.trigger === "squeezed");
  return restWith({
    ...(needsPack ? { pack: "in" as const } : {}),
    ...(onCharger ? { charger: "plugged" as const } : {}),
    ...given,
  });
}

type Sightings = z.output<typeof readingsFileSchema>["observations"];

function seenOf(model: ToolModel, given: Sightings): Seen[] {
  const list = Array.isArray(given)
    ? given.map((one, i) => ({ ...one, path: `observations[${i}]` }))
    : Object.entries(given).map(([id, value]) => ({ id, value, path: `observations.${id}` }));
  return list.map(({ id, value, path }) => {
    const known = model.sightings.map((one) => one.id);
    const sighting = model.sightings.find((one) => one.id === id);
    if (sighting === undefined) {
      throw wrong(path, unknownName(`observation of ${model.kind}`, id, known));
    }
    const word = typeof value === "boolean" ? (value ? "yes" : "no") : value;
    if (!sighting.values.includes(word)) {
      throw wrong(path, unknownName(`value of ${id}`, word, sighting.values));
    }
    return { kind: "seen", sighting: id, value: word };
  });
}

function wrong(path: string, what: string): LeadhandError {
  return new LeadhandError("diagnosis/readings", {
    what: `${path}: ${what}.`,
    action: "Correct the readings file; `leadhand diagnose --points KIND` lists what is known.",
  });
}

function malformed(error: z.ZodError): LeadhandError {
  const { place, what } = firstMistake(error.issues, {
    "": Object.keys(readingsFileSchema.shape),
    tool: Object.keys(toolDataSchema.shape),
    readings: Object.keys(readingSchema.shape),
    condition: Object.keys(conditionObject.shape),
    cautions: Object.keys(cautionsSchema.shape),
  });
  return wrong(place, what);
}
