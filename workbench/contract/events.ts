import { z } from "zod";
import { apartSchema, jobNameSchema, removedSchema } from "./apart.js";
import { ORDERS } from "./orders.js";
import { readingSchema } from "./reading.js";

/**
 * What the bench process tells the window, unasked. Everything the window draws comes through
 * here; it holds no state of its own that it could not be told again (`snapshot` on connect).
 */

export const errorSchema = z.object({ code: z.string(), what: z.string(), action: z.string() });

const verdict = z.enum(["pass", "fail", "borderline", "not-judged"]);
const limits = z.object({ low: z.number().nullable(), high: z.number().nullable() });
const detail = z.object({
  value: z.number().nullable(),
  unit: z.string(),
  u: z.number().exactOptional(),
  note: z.string().exactOptional(),
});

export const stepResultSchema = z.object({
  event: z.literal("step"),
  step: z.string(),
  verdict,
  value: z.number().nullable(),
  overload: z.union([z.boolean(), z.enum(["positive", "negative"])]),
  unit: z.string(),
  resolution: z.number().nullable(),
  uncertainty: z.number().nullable(),
  k: z.number().nullable(),
  limits: limits.nullable(),
  rule: z.enum(["simple", "guarded"]).nullable(),
  risk: z.number().nullable(),
  /** Absent in records of before it was told. */
  doubt: z.string().nullable().default(null),
  polarity: z.enum(["as-marked", "reversed"]).nullable(),
  zero: z.enum(["proved", "accepted"]).nullable(),
  started_s: z.number(),
  ended_s: z.number(),
  details: z.record(z.string(), detail),
  reason: z.string().nullable(),
});

export const meterSchema = z.object({
  channel: z.string(),
  address: z.string(),
  title: z.string(),
  state: z.enum([
    "absent",
    "opening",
    "silent",
    "unreadable",
    "live",
    "stale",
    "lost",
    "denied",
    "busy",
    "closed",
  ]),
  time_s: z.number(),
  advice: errorSchema.nullable(),
});

const cautionSchema = z.object({ kind: z.string(), words: z.string() });

export const stepOutlineSchema = z.object({
  id: z.string(),
  kind: z.enum(["measure", "do", "look", "wait"]),
  title: z.string(),
  instruction: z.string(),
  red: z.string().nullable(),
  black: z.string().nullable(),
  cautions: z.array(cautionSchema),
  quantity: z.string().nullable(),
  coupling: z.string().nullable(),
  unit: z.string(),
  means: z.object({ pass: z.string(), fail: z.string() }).nullable(),
  choices: z.array(z.object({ id: z.string(), label: z.string() })),
  /** What usually comes off in a `do` step; the record of it begins with this. */
  removes: removedSchema.nullable(),
  /** Things go back on in this step: the way back is shown. */
  closing: z.boolean(),
});

export const partSchema = z.object({
  id: z.string(),
  label: z.string(),
  state: z.enum(["unknown", "cleared", "suspect", "condemned"]),
  /** Probability that this part is at fault, 0 to 1; null before anything is known. */
  odds: z.number().nullable(),
  /**
   * Share of its possible faults, by odds, that the readings rule out, of a part that is not
   * suspect, 0 to 1; absent where an older program wrote it down.
   */
  tested: z.number().min(0).max(1).optional(),
  reason: z.string().nullable(),
});

export const pathSchema = z.object({
  parts: z.array(partSchema),
  /** Probe points in order along the path: after which part they lie. */
  points: z.array(z.object({ id: z.string(), label: z.string(), after: z.string().nullable() })),
  next: z
    .object({ red: z.string(), black: z.string(), words: z.string(), tells: z.array(z.string()) })
    .nullable(),
});

/** Free probing beside the plan. */
const freeSchema = z.object({
  on: z.boolean(),
  /** Places that can be declared; `id` is what `declareProbe` wants. */
  places: z.array(z.object({ id: z.int(), words: z.string() })),
  declared: z.int().nullable(),
  /** What is asked, or what to do now, in words. */
  words: z.string(),
  /** The words are a question; they say how to answer. */
  asking: z.boolean(),
  /** Those of the plan that hold for what the dial is on. */
  cautions: z.array(cautionSchema),
  /** What is asked for now and, after a no, next: places with their odds in words. */
  matches: z.array(z.object({ words: z.string(), odds: z.string() })),
  /** What would tell most, as an instruction; null: nothing more has to be known. */
  next: z.string().nullable(),
  /** What was recorded in this sitting, in words, the oldest first. */
  taken: z.array(z.string()),
});

export const runSchema = z.object({
  run: z.string(),
  plan: z.object({ id: z.string(), title: z.string(), revision: z.string() }),
  tool: z.object({
    make: z.string(),
    model: z.string(),
    serial: z.string(),
    complaint: z.string(),
  }),
  jobFolder: z.string(),
  practice: z.boolean(),
  /** The order that the run begins with. */
  order: z.enum(ORDERS),
  steps: z.array(stepOutlineSchema),
});

const band = z.object({
  low: z.number(),
  high: z.number(),
  counts: z.number(),
  filled: z.number(),
});

export const eventSchema = z.discriminatedUnion("type", [
  /**
   * First on every connection: what follows replaces whatever the window knew before. `calls` are
   * the calls that have a handler; the window shows no control for another.
   */
  z.object({
    type: z.literal("hello"),
    version: z.string(),
    time_s: z.number(),
    calls: z.array(z.string()),
  }),
  /** Once a second: the job's time now. Ages come from it, and a bench that hangs is seen by it. */
  z.object({ type: z.literal("clock"), time_s: z.number() }),
  /** Sent by the desktop shell, not by the bench: its process has ended, or is there again. */
  z.object({ type: z.literal("bench"), state: z.enum(["there", "gone"]) }),
  z.object({ type: z.literal("meter"), meter: meterSchema }),
  /** The newest reading; `digits` is what the meter's own display shows, sign and point included. */
  z.object({
    type: z.literal("reading"),
    reading: readingSchema,
    digits: z.string(),
    prefix: z.string(),
  }),
  /**
   * Points for the live plot: already no more than its pixels. null: gap, no line. A point with the
   * time of the last one replaces it.
   */
  z.object({
    type: z.literal("trace"),
    channel: z.string(),
    /** true: forget what was drawn before. */
    fresh: z.boolean(),
    time_s: z.array(z.number()),
    low: z.array(z.number().nullable()),
    high: z.array(z.number().nullable()),
  }),
  z.object({ type: z.literal("run"), run: runSchema }),
  z.object({
    type: z.literal("begin"),
    step: z.string(),
    index: z.int(),
    time_s: z.number(),
    /** As it is said now: what the tool's present state asks for comes first. */
    instruction: z.string(),
    /** Those of the step, and of what has to be done to the tool before it. */
    cautions: z.array(cautionSchema),
    /** Why it is this step's turn, and what each outcome would mean; null in the plan's order. */
    why: z.object({ words: z.string(), tells: z.array(z.string()) }).nullable(),
    limits: limits.nullable(),
    unit: z.string(),
  }),
  /** In which order the run goes on. */
  z.object({ type: z.literal("order"), order: z.enum(ORDERS) }),
  z.object({
    type: z.literal("contact"),
    step: z.string(),
    contact: z.enum(["lifted", "touching", "settling", "held"]),
    band: band.nullable(),
  }),
  /** What the person is asked to do now; kind null: it is done, take it away. */
  z.object({
    type: z.literal("prompt"),
    step: z.string(),
    kind: z.string().nullable(),
    words: z.string(),
  }),
  /** Sent only when the journal line is on disk. */
  z.object({
    type: z.literal("recorded"),
    result: stepResultSchema,
    title: z.string(),
    /** The verdict as it is said aloud, value and unit in words. */
    words: z.string(),
  }),
  z.object({ type: z.literal("path"), path: pathSchema }),
  z.object({ type: z.literal("free"), free: freeSchema }),
  z.object({
    type: z.literal("finished"),
    passed: z.int(),
    failed: z.int(),
    other: z.int(),
    conclusion: z.string(),
  }),
  /** The run is over and its meters are closed; a plan run to its end says `finished` first. */
  z.object({
    type: z.literal("ended"),
    how: z.enum(["finished", "stopped", "meter-ended", "trouble"]),
  }),
  /** What is off the tool, or has been: sent anew whenever it changes. */
  z.object({ type: z.literal("apart"), job: jobNameSchema, apart: apartSchema }),
  z.object({ type: z.literal("trouble"), error: errorSchema }),
]);

export type BenchEvent = z.infer<typeof eventSchema>;
export type BenchEventType = BenchEvent["type"];
export type MeterStatus = z.infer<typeof meterSchema>;
export type StepOutline = z.infer<typeof stepOutlineSchema>;
export type RecordedResult = z.infer<typeof stepResultSchema>;
export type PowerPath = z.infer<typeof pathSchema>;
export type FreeStatus = z.infer<typeof freeSchema>;
export type PartStatus = z.infer<typeof partSchema>;
export type RunStatus = z.infer<typeof runSchema>;
export type { Order } from "./orders.js";
export type { Apart, ApartItem } from "./apart.js";
export type ErrorReport = z.infer<typeof errorSchema>;
