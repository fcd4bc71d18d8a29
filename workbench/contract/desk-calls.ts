import { z } from "zod";
import { jobNameSchema } from "./apart.js";
import { stepResultSchema } from "./events.js";

/** What the quiet screens ask: plans, jobs, claim packs, meters, the practice bench. */

const jobName = jobNameSchema;

const tool = z.object({
  make: z.string(),
  model: z.string(),
  serial: z.string(),
  complaint: z.string(),
  warranty: z.enum(["warranty", "paid", "unknown"]),
  condition: z.string(),
});

const jobRow = z.object({
  job: jobName,
  /** ISO 8601 with offset. */
  startedAt: z.string(),
  tool,
  plan: z.string(),
  practice: z.boolean(),
  passed: z.int(),
  failed: z.int(),
  other: z.int(),
  /** false: the plan was not run to its end. */
  finished: z.boolean(),
});

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
});

const meterTable = z.object({
  meter: z.string().min(1),
  /** ISO 8601 date; null: never or unknown. */
  calibrated: z.string().nullable(),
  valid_months: z.number(),
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

  /** Jobs, the newest first, that have every word of `search` in tool, complaint or plan. */
  listJobs: {
    params: z.strictObject({ search: z.string() }),
    result: z.object({
      jobs: z.array(jobRow),
      unreadable: z.array(z.object({ job: z.string(), why: z.string() })),
    }),
  },
  readJob: {
    params: z.strictObject({ job: jobName }),
    result: jobRow.extend({
      folder: z.string(),
      customer: z
        .object({ name: z.string(), contact: z.string(), reference: z.string() })
        .nullable(),
      meters: z.array(
        z.object({
          channel: z.string(),
          title: z.string(),
          address: z.string(),
          calibratedOn: z.string().nullable(),
          /** Readings that its trace holds. */
          traced: z.boolean(),
        }),
      ),
      steps: z.array(
        z.object({
          result: stepResultSchema,
          title: z.string(),
          kind: z.string(),
          fails: z.string(),
        }),
      ),
      conclusion: z.string().nullable(),
      /** Damage found in the files, in words; empty: none. */
      damage: z.array(z.string()),
    }),
  },
  /** A channel of a job, thinned to least and greatest for about `points` pixels. null: gap. */
  readTrace: {
    params: z.strictObject({
      job: jobName,
      channel: z.string(),
      points: z.int().min(10).max(4000),
    }),
    result: z.object({
      unit: z.string(),
      readings: z.int(),
      time_s: z.array(z.number()),
      low: z.array(z.number().nullable()),
      high: z.array(z.number().nullable()),
    }),
  },

  /** Makes a signed claim pack beside the job. */
  packJob: {
    params: z.strictObject({ job: jobName, shop: z.string(), withCustomer: z.boolean() }),
    result: z.object({
      file: z.string(),
      files: z.int(),
      bytes: z.int(),
      fingerprint: z.string(),
      warnings: z.array(z.string()),
    }),
  },
  verifyPack: {
    params: z.strictObject({ file: z.string().min(1) }),
    result: z.object({
      good: z.boolean(),
      checks: z.array(
        z.object({
          claim: z.string(),
          outcome: z.enum(["good", "bad", "absent", "open"]),
          words: z.string(),
          places: z.array(z.string()),
        }),
      ),
    }),
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
