import { z } from "zod";
import { partSchema, stepResultSchema } from "../contract/events.js";
import { ORDERS } from "../contract/orders.js";
import { cautionKinds } from "../plan/schema.js";

/**
 * What the journal keeps. Times are seconds on the job's one time base; the time of day stands in
 * `job.json` alone, so that the same bytes from the meter give the same journal to the byte.
 */
const time_s = z.number();
const step = z.string();
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);

/** A tail that was not whole when the job was opened again, and was cut off. */
const cutSchema = z.strictObject({
  file: z.string(),
  /** Offset of the first byte cut. */
  at: z.int().nonnegative(),
  bytes: z.int().positive(),
  /** Where the bytes that were cut are kept. */
  kept: z.string(),
});

/** What a person or a meter did; the runner is fed these again on replay, in this order. */
const inputs = [
  z.strictObject({
    kind: z.literal("meter"),
    time_s,
    channel: z.string(),
    state: z.enum(["live", "lost"]),
  }),
  z.strictObject({ kind: z.literal("confirm"), time_s, step, choice: z.string().nullable() }),
  z.strictObject({ kind: z.literal("skip"), time_s, step, reason: z.string() }),
  z.strictObject({ kind: z.literal("repeat"), time_s, step }),
  /** Another order from here on; as the first of a run, the order it begins with. */
  z.strictObject({ kind: z.literal("order"), time_s, order: z.enum(ORDERS) }),
  /** What comes next where the order is not the plan's, why, and what is left out. */
  z.strictObject({
    kind: z.literal("chosen"),
    time_s,
    step: step.nullable(),
    toward: step.nullable(),
    words: z.string(),
    tells: z.array(z.string()),
    leftOut: z.array(z.strictObject({ step, reason: z.string() })),
  }),
] as const;

/** What the program made of it; replay must come to the same. */
const derived = [
  z.strictObject({
    kind: z.literal("begin"),
    time_s,
    step,
    index: z.int().nonnegative(),
    limits: z.strictObject({ low: z.number().nullable(), high: z.number().nullable() }).nullable(),
    unit: z.string(),
    /** Cautions that stood on the screen from here on. */
    cautions: z.array(z.enum(cautionKinds)),
  }),
  z.strictObject({ kind: z.literal("step"), time_s, result: stepResultSchema }),
  z.strictObject({
    kind: z.literal("finished"),
    time_s,
    passed: z.int().nonnegative(),
    failed: z.int().nonnegative(),
    other: z.int().nonnegative(),
  }),
] as const;

const others = [
  /** Free probing as it was recorded before the order could be chosen. */
  z.strictObject({ kind: z.literal("aside"), time_s, on: z.boolean() }),
  /** First line of every journal: which plan the run follows (SHA-256 of its RFC 8785 form). */
  z.strictObject({
    kind: z.literal("opened"),
    time_s,
    plan: z.string(),
    revision: z.string(),
    planSha256: sha256,
  }),
  z.strictObject({ kind: z.literal("resumed"), time_s, cut: z.array(cutSchema) }),
  z.strictObject({ kind: z.literal("note"), time_s, words: z.string().min(1) }),
  /** A reading taken beside the plan, at a place that was declared or confirmed. */
  z.strictObject({
    kind: z.literal("probed"),
    time_s,
    quantity: z.enum(["voltage", "resistance"]),
    red: z.string(),
    black: z.string(),
    /** Condition of the kind of tool, by its id. */
    condition: z.string(),
    /** Volts or ohms; null: over range on ohms. */
    value: z.number().nullable(),
    how: z.enum(["declared", "stayed", "let-go", "hold-key"]),
    words: z.string(),
  }),
  z.strictObject({
    kind: z.literal("photo"),
    time_s,
    file: z.string(),
    sha256,
    /** What the picture shows; it becomes the text for those who cannot see it. */
    caption: z.string().min(1),
    moment: z.enum(["on-arrival", "at-work", "after-repair"]),
    /** The part taken off that it shows. */
    of: z.strictObject({ step, item: z.int().nonnegative() }).exactOptional(),
  }),
  /** What came off the tool, as a person noted it; a later line for the same item replaces it. */
  z.strictObject({
    kind: z.literal("removed"),
    time_s,
    step,
    /** 0: what the plan expects to come off in this step; 1 and up: what came off besides. */
    item: z.int().nonnegative(),
    what: z.string().min(1),
    from: z.string(),
    fasteners: z.int().nonnegative(),
    fastenerKind: z.string(),
    /** It did not come off after all. */
    withdrawn: z.boolean(),
  }),
  z.strictObject({
    kind: z.literal("put-back"),
    time_s,
    step,
    item: z.int().nonnegative(),
    /** How many fasteners went in; null: it is off after all. */
    fasteners: z.int().nonnegative().nullable(),
  }),
  /** What the readings say of the parts, with the reasons. */
  z.strictObject({
    kind: z.literal("conclusion"),
    time_s,
    words: z.string(),
    parts: z.array(partSchema.strict()),
  }),
  /** What the shop decides to do. */
  z.strictObject({
    kind: z.literal("decision"),
    time_s,
    choice: z.enum(["repair", "replace", "return-as-is", "hold"]),
    parts: z.array(
      z.strictObject({ part: z.string(), label: z.string(), price: z.number().nullable() }),
    ),
    words: z.string(),
  }),
] as const;

export const journalEventSchema = z.discriminatedUnion("kind", [...inputs, ...derived, ...others]);
export type JournalEvent = z.infer<typeof journalEventSchema>;
export type Cut = z.infer<typeof cutSchema>;
