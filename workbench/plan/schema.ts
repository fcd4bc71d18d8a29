import { z } from "zod";
import { PLAN_CHOICES } from "../contract/plan-choices.js";
import { COUPLINGS, QUANTITIES } from "../../protocols/reading.js";

/**
 * The plan format, version 1. One file a plan, JSON. Everything a person reads stands in the
 * plan; everything that decides stands in named fields that the checker understands.
 */

const id = z
  .string()
  .regex(/^[a-z][a-z0-9]*(-[a-z0-9]+)*$/, "lower-case words joined by hyphens, such as pack-open");

/** A number, or a formula of tool data and earlier results: `cells * 3.5`, `result("pack-open") - 0.3`. */
const quantityOrFormula = z.union([z.number(), z.string().min(1)]);

export const cautionKinds = PLAN_CHOICES.caution;

const trigger = z.enum(PLAN_CHOICES.trigger);
const pack = z.enum(PLAN_CHOICES.pack);
const charger = z.enum(PLAN_CHOICES.charger);
const shaft = z.enum(PLAN_CHOICES.shaft);
const toolCase = z.enum(PLAN_CHOICES.case);
const mains = z.enum(PLAN_CHOICES.mains);
const motor = z.enum(PLAN_CHOICES.motor);

export const conditionSchema = z.strictObject({
  trigger: trigger.default("released"),
  pack: pack.default("out"),
  charger: charger.default("unplugged"),
  shaft: shaft.default("still"),
  case: toolCase.default("closed"),
  mains: mains.default("unplugged"),
  motor: motor.default("connected"),
});

/** What a `do` step changes: only what it names. (`partial()` would bring the defaults along.) */
const changeSchema = z.strictObject({
  pack: pack.optional(),
  charger: charger.optional(),
  case: toolCase.optional(),
  mains: mains.optional(),
  motor: motor.optional(),
});

const settle = z.strictObject({
  kind: z.literal("settle"),
  window_s: z
    .number()
    .positive()
    .max(30)
    .default(1)
    .describe("How long the reading must stay still, seconds."),
  counts: z
    .number()
    .positive()
    .max(1000)
    .default(3)
    .describe("How many counts of the meter it may move meanwhile."),
});
const sag = z.strictObject({
  kind: z.literal("sag"),
  edge: z
    .number()
    .gt(0)
    .lt(1)
    .default(0.02)
    .describe("A drop by this share of the baseline is a squeeze."),
  hold_s: z
    .number()
    .positive()
    .max(60)
    .default(1.5)
    .describe("How long the trigger is to be held, seconds."),
});
const change = z.strictObject({
  kind: z.literal("change"),
  window_s: z.number().positive().max(30).default(0.5),
  times: z
    .int()
    .positive()
    .max(20)
    .default(1)
    .describe("How often the trigger is pressed and released."),
});
const sweep = z.strictObject({
  kind: z.literal("sweep"),
  duration_s: z
    .number()
    .positive()
    .max(120)
    .default(6)
    .describe("How long the shaft is turned, seconds."),
});
const watchSchema = z.discriminatedUnion("kind", [settle, sag, change, sweep]);

const limitsSchema = z.strictObject({
  low: quantityOrFormula
    .optional()
    .describe("A number or a formula in quotes; a value below fails."),
  high: quantityOrFormula
    .optional()
    .describe("A number or a formula in quotes; a value above fails."),
  source: z
    .string()
    .min(1)
    .describe("Published source of the limit, or common practice, no source."),
});

const stepCommon = {
  id,
  title: z.string().min(1),
  instruction: z.string().min(1).describe("What to touch where, in the imperative; read aloud."),
  cautions: z.array(z.enum(cautionKinds)).default([]),
  /** Steps whose verdict decides whether this one makes sense. */
  needs: z.array(z.strictObject({ step: id, verdict: z.enum(PLAN_CHOICES.need) })).default([]),
};

const measureStepSchema = z.strictObject({
  kind: z.literal("measure"),
  ...stepCommon,
  quantity: z.enum(QUANTITIES),
  coupling: z.enum(COUPLINGS).nullable().default(null),
  red: id,
  black: id,
  condition: conditionSchema,
  watch: watchSchema,
  judged: z
    .string()
    .default("value")
    .describe("Which figure is judged: value, or a detail of the watch such as plateau."),
  limits: limitsSchema.optional(),
  rule: z.enum(PLAN_CHOICES.rule).default("guarded"),
  polarity: z.enum(PLAN_CHOICES.polarity).default("as-marked"),
  zero: z.enum(PLAN_CHOICES.zero).default("prove"),
  /** What passing and failing mean for the tool, one sentence each. */
  means: z.strictObject({ pass: z.string(), fail: z.string() }),
});

const doStepSchema = z.strictObject({
  kind: z.literal("do"),
  ...stepCommon,
  /** What this changes about the tool's condition. */
  sets: changeSchema.default({}),
  /** For the order of work taken apart. */
  removes: z
    .strictObject({
      what: z.string(),
      from: z.string(),
      fasteners: z.int().nonnegative().default(0),
      fastenerKind: z.string().optional(),
    })
    .optional(),
  putsBack: z.array(id).optional().describe("Steps whose removed things go back on in this one."),
});

const lookStepSchema = z.strictObject({
  kind: z.literal("look"),
  ...stepCommon,
  choices: z
    .array(z.strictObject({ id, label: z.string(), verdict: z.enum(PLAN_CHOICES.answer) }))
    .min(2),
  photo: z.boolean().default(false),
});

const waitStepSchema = z.strictObject({
  kind: z.literal("wait"),
  ...stepCommon,
  duration_s: z.number().positive(),
});

const stepSchema = z.discriminatedUnion("kind", [
  measureStepSchema,
  doStepSchema,
  lookStepSchema,
  waitStepSchema,
]);

export const planSchema = z.strictObject({
  /** For editors: where docs/plan.schema.json lies. The program does not read it. */
  $schema: z.string().optional(),
  format: z.literal("leadhand-plan"),
  version: z.literal(1),
  id,
  title: z.string().min(1),
  revision: z.string().min(1),
  tool: z.strictObject({
    kind: id,
    /** Data of the tool that limits may use, with the value assumed when nobody says. */
    data: z.record(
      z.string().regex(/^[a-z][A-Za-z0-9_]*$/),
      z.strictObject({ label: z.string(), unit: z.string(), default: z.number() }),
    ),
  }),
  points: z
    .array(
      z.strictObject({
        id,
        label: z.string().min(1),
        part: id,
        /** A pole of something that is live by itself (cells, known source): no ohms across it, ever. */
        source: z.boolean().default(false),
        aside: z
          .boolean()
          .optional()
          .describe(
            "A further point of a part on the power path: measured and judged, not reasoned with.",
          ),
      }),
    )
    .min(2),
  steps: z.array(stepSchema).min(1),
});

export type Plan = z.infer<typeof planSchema>;
/** A plan as it is written: what has a default may be left out. */
export type PlanInput = z.input<typeof planSchema>;
export type Step = z.infer<typeof stepSchema>;
export type MeasureStep = z.infer<typeof measureStepSchema>;
export type LookStep = z.infer<typeof lookStepSchema>;
export type Condition = z.infer<typeof conditionSchema>;
export type WatchSpec = z.infer<typeof watchSchema>;
export type CautionKind = (typeof cautionKinds)[number];
