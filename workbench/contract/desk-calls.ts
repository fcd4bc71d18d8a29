import { z } from "zod";

const finding = z.object({
  level: z.enum(["error", "warning"]),
  code: z.string(),
  /** JSON path in the plan, "" where the whole text is meant. */
  path: z.string(),
  what: z.string(),
  action: z.string(),
});

const accuracyLine = z.object({
  quantity: z.string(),
  coupling: z.string().nullable(),
  resolution: z.number().nullable(),
  upTo: z.number().nullable(),
  percentOfReading: z.number(),
  counts: z.number(),
  note: z.string().optional(),
});

const meterTable = z.object({
  meter: z.string().min(1),
  /** ISO 8601 date; null: never or unknown. */
  calibrated: z.string().nullable(),
  valid_months: z.number(),
  temperature_degC: z.object({ low: z.number(), high: z.number() }),
  temperatureCoefficient: z.number(),
  lines: z.array(accuracyLine),
});

export const deskCalls = {
  /** Simulated tools and what can be hidden in them, each with the meter address for it. */
  listPractice: {
    params: z.strictObject({}),
    result: z.array(
      z.object({
        kind: z.string(),
        title: z.string(),
        choices: z.array(z.object({ address: z.string(), title: z.string(), note: z.string() })),
      }),
    ),
  },

  /** The JSON text of a plan; `own` where the shop may change it. */
  readPlan: {
    params: z.strictObject({ plan: z.string() }),
    result: z.object({ text: z.string(), own: z.boolean() }),
  },
  /** What is wrong with a plan, as far as it can be told before it is run. */
  checkPlan: {
    params: z.strictObject({ text: z.string().max(1_000_000) }),
    result: z.object({
      /** null where the text is not a plan. */
      plan: z.object({ id: z.string(), title: z.string(), steps: z.int() }).nullable(),
      findings: z.array(finding),
    }),
  },
  /** Keeps a plan of the shop's own; one with an error is refused, and one with another's id. */
  savePlan: {
    params: z.strictObject({
      text: z.string().max(1_000_000),
      /** The plan as `listPlans` names it that this one takes the place of; null: a new one. */
      replaces: z.string().nullable(),
    }),
    result: z.object({ plan: z.string() }),
  },

  /** Accuracy tables of the shop's meters, as their manuals print them. */
  listTables: {
    params: z.strictObject({}),
    result: z.array(
      meterTable.extend({
        /** Last day that the calibration holds, ISO 8601; null: nobody stated when it was. */
        calibratedUntil: z.string().nullable(),
        outOfCalibration: z.boolean(),
      }),
    ),
  },
  /** Keeps a table; one of the same name is replaced. */
  saveTable: { params: z.strictObject({ table: meterTable }), result: z.object({}) },
} as const;
