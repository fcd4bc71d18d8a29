import { z } from "zod";
import { jobNameSchema } from "./apart.js";
import { stepResultSchema } from "./events.js";

/** What the window asks about jobs that were recorded, and what it may do with them. */

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
  archived: z.boolean(),
  damaged: z.boolean(),
  passed: z.int(),
  failed: z.int(),
  other: z.int(),
  /** false: the plan was not run to its end. */
  finished: z.boolean(),
  /** Another bench's name where the job lies there and cannot be opened here; null: here. */
  elsewhere: z.string().nullable(),
});

const jobList = z.object({
  /** The newest first; at most the newest 500. */
  jobs: z.array(jobRow),
  total: z.int(),
  unreadable: z.array(z.object({ job: z.string(), why: z.string() })),
  /** Why the index is not the usual one, in words; null: it is. */
  warning: z.string().nullable(),
});

const filter = z.strictObject({
  /** Words that all must occur in tool, complaint, condition or plan. */
  search: z.string(),
  outcome: z.enum(["failed", "passed", "unfinished"]).optional(),
  practice: z.enum(["too", "only", "none"]),
  archived: z.boolean(),
  /** ISO 8601 dates, both included. */
  from: z.iso.date().optional(),
  to: z.iso.date().optional(),
});

const photoMoments = ["on-arrival", "at-work", "after-repair"] as const;
const photo = z.object({
  file: z.string(),
  caption: z.string(),
  moment: z.enum(photoMoments),
});

const step = z.object({
  result: stepResultSchema,
  title: z.string(),
  kind: z.string(),
  fails: z.string(),
});

const curve = z
  .object({
    unit: z.string(),
    time_s: z.array(z.number()),
    low: z.array(z.number().nullable()),
    high: z.array(z.number().nullable()),
  })
  .nullable();

export const jobCalls = {
  listJobs: { params: filter, result: jobList },
  readJob: {
    params: z.strictObject({ job: jobName }),
    result: jobRow.extend({
      folder: z.string(),
      /** Id of the plan, as lists of plans name it. */
      planId: z.string(),
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
      steps: z.array(step),
      photos: z.array(photo),
      notes: z.array(z.object({ time_s: z.number(), words: z.string() })),
      conclusion: z.string().nullable(),
      /** Damage found in the files, in words; empty: none. */
      damage: z.array(z.string()),
      /** What has to be typed before the job is deleted, and what deleting it means. */
      deletion: z.object({ confirm: z.string(), words: z.string() }),
    }),
  },
  /** Other runs of the same tool, the newest first, and which of them the job repeats. */
  otherRuns: {
    params: z.strictObject({ job: jobName }),
    result: z.object({ runs: z.array(jobRow), repeats: jobName.nullable() }),
  },
  /** A channel of a job, thinned to least and greatest for about `points` pixels. null: gap. */
  readTrace: {
    params: z.strictObject({
      job: jobName,
      channel: z.string(),
      points: z.int().min(10).max(4000),
    }),
    /** One line a unit that the meter told, the one read most first, all on the same moments. */
    result: z.object({
      readings: z.int(),
      time_s: z.array(z.number()),
      lines: z.array(
        z.object({
          unit: z.string(),
          readings: z.int(),
          low: z.array(z.number().nullable()),
          high: z.array(z.number().nullable()),
        }),
      ),
    }),
  },
  /** Goes on with a run that was interrupted; the bench shows it as any other. */
  goOn: { params: z.strictObject({ job: jobName }), result: z.object({ run: z.string() }) },
  addNote: {
    params: z.strictObject({ job: jobName, words: z.string().min(1).max(4000) }),
    result: z.object({}),
  },
  archiveJob: {
    params: z.strictObject({ job: jobName, archived: z.boolean() }),
    result: z.object({}),
  },
  /** `confirm` is what the person typed; see `readJob`. */
  deleteJob: {
    params: z.strictObject({ job: jobName, confirm: z.string() }),
    result: z.object({}),
  },
  /** Takes a job, or all jobs, from a folder of another bench; the originals stay. */
  importJobs: {
    params: z.strictObject({ from: z.string().min(1) }),
    result: z.array(
      z.object({ from: z.string(), job: z.string().nullable(), why: z.string().nullable() }),
    ),
  },

  /** Two runs step by step. */
  compareJobs: {
    params: z.strictObject({ first: jobName, second: jobName }),
    result: z.array(
      z.object({
        step: z.string(),
        title: z.string(),
        first: stepResultSchema.nullable(),
        second: stepResultSchema.nullable(),
        /** second less first, in the step's unit. */
        change: z.number().nullable(),
        kind: z.enum(["measure", "do", "look", "wait"]),
      }),
    ),
  },
  /** The traces of one step in two runs, both from where the step's reading began. */
  overlayStep: {
    params: z.strictObject({
      first: jobName,
      second: jobName,
      step: z.string(),
      points: z.int().min(10).max(4000),
    }),
    result: z.object({ from_s: z.number(), to_s: z.number(), first: curve, second: curve }),
  },

  /** What fails most, by model: the most failures first. */
  whatFails: {
    params: z.strictObject({}),
    result: z.array(
      z.object({
        make: z.string(),
        model: z.string(),
        step: z.string(),
        title: z.string(),
        failed: z.int(),
        judged: z.int(),
      }),
    ),
  },
  /** Resistance of packs over the years, the oldest first. */
  packResistance: {
    params: z.strictObject({ model: z.string().optional(), serial: z.string().optional() }),
    result: z.array(
      z.object({
        make: z.string(),
        model: z.string(),
        serial: z.string(),
        at: z.string(),
        resistance_ohm: z.number(),
        u_ohm: z.number().nullable(),
      }),
    ),
  },

  /** Makes a signed claim pack beside the jobs. */
  packJob: {
    params: z.strictObject({
      job: jobName,
      shop: z.string(),
      withCustomer: z.boolean(),
      /** The run before the repair, to stand beside this one. */
      before: jobName.nullable(),
      paper: z.enum(["A4", "Letter"]),
    }),
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
} as const;
