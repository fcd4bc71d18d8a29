import { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { accuracySchema } from "../measurement/accuracy.js";
import { experienceSchema } from "../models/experience.js";
import { planSchema } from "../plan/schema.js";

/** A letter or two: "a", "b"; becomes a file name, so nothing else is allowed in it. */
export const channelSchema = z.string().regex(/^[a-z][a-z0-9-]{0,31}$/);

export const toolSchema = z.object({
  make: z.string(),
  model: z.string(),
  serial: z.string(),
  complaint: z.string(),
  /** Who pays, as far as known at booking in. */
  warranty: z.enum(["warranty", "paid", "unknown"]).default("unknown"),
  /** What was seen at booking in: case cracked, pack missing, … */
  condition: z.string().default(""),
  /** Data of this tool that the plan's limits use, by the plan's names. */
  data: z.record(z.string(), z.number()).default({}),
});

const jobMeterSchema = z.object({
  channel: channelSchema,
  /** The meter address the run was started with. */
  address: z.string(),
  protocol: z.string(),
  /** Options of the protocol as they stood in the address. */
  options: z.record(z.string(), z.string()).default({}),
  title: z.string().default(""),
  serial: z.string().default(""),
  /** ISO 8601 dates of the calibration, null where nobody said. */
  calibratedOn: z.iso.date().nullable().default(null),
  calibrationDue: z.iso.date().nullable().default(null),
  certificate: z.string().nullable().default(null),
  /** The accuracy table the verdicts were computed with, as it was. */
  accuracy: accuracySchema.nullable().default(null),
});

/**
 * What this program writes; it reads all before it. 2: the places in the journal are ends of
 * readings, and bytes of one arrival are one chunk. 1: the places are ends of chunks as they came.
 */
export const JOB_VERSION = 2;

/**
 * `job.json`: written once when the job is made and never changed. The only place with the time of
 * day. The customer is not in it (`customer.json`), so that a pack can be made without.
 */
export const jobFileSchema = z.object({
  format: z.literal("leadhand-job"),
  version: z.int().min(1).max(JOB_VERSION),
  id: z.string().min(1),
  /** ISO 8601 with offset; zero of the job's time base. */
  startedAt: z.iso.datetime({ offset: true }),
  programVersion: z.string(),
  /** Faults of a simulated tool: nothing in it is evidence. */
  practice: z.boolean().default(false),
  tool: toolSchema,
  meters: z.array(jobMeterSchema),
  plan: planSchema,
  /** What the shop had learned of such tools by then; a conclusion follows from it too. */
  experience: experienceSchema.nullable().default(null),
  /** The job this one repeats after the repair, by its id. */
  repeats: z.string().nullable().default(null),
});

export const customerSchema = z.strictObject({
  name: z.string().default(""),
  contact: z.string().default(""),
  reference: z.string().default(""),
});

export type JobFile = z.infer<typeof jobFileSchema>;
export type JobMeter = z.infer<typeof jobMeterSchema>;
export type JobTool = z.infer<typeof toolSchema>;
export type Customer = z.infer<typeof customerSchema>;

/** Reads `job.json`; `where` is for the error text. Throws `job/not-a-job`, `job/newer`. */
export function parseJobFile(bytes: Uint8Array, where: string): JobFile {
  const raw = parseJson(bytes, where);
  const head = z.object({ format: z.literal("leadhand-job"), version: z.number() }).safeParse(raw);
  if (!head.success) throw notAJob(where, "job.json does not name the format leadhand-job");
  if (head.data.version > JOB_VERSION) {
    throw new LeadhandError("job/newer", {
      what: `The job ${where} was written by a newer program (format version ${head.data.version}).`,
      action: "Update this program to open it.",
    });
  }
  const parsed = jobFileSchema.safeParse(raw);
  if (!parsed.success) throw notAJob(where, z.prettifyError(parsed.error).replaceAll("\n", "; "));
  return parsed.data;
}

export function notAJob(where: string, why: string): LeadhandError {
  return new LeadhandError("job/not-a-job", {
    what: `${where} is not a job: ${why}.`,
    action: "Choose a job folder, or a new or empty folder for a new job.",
  });
}

function parseJson(bytes: Uint8Array, where: string): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch (thrown) {
    throw notAJob(where, `job.json cannot be read (${String(thrown)})`);
  }
}
