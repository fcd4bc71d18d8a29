import { z } from "zod";
import { apartCalls, jobNameSchema } from "./apart.js";
import { deskCalls } from "./desk-calls.js";
import { jobCalls } from "./job-calls.js";
import { ORDERS } from "./orders.js";
import { partsCalls } from "./parts-calls.js";

/**
 * What the window may ask of the bench process, with the shape of question and answer. Server,
 * client, preload and test doubles derive from this table: a new call is one entry here, its
 * handler and its caller.
 */
export const calls = {
  listPlans: {
    params: z.strictObject({}),
    result: z.array(
      z.object({ id: z.string(), title: z.string(), kind: z.string(), steps: z.int() }),
    ),
  },
  listMeters: {
    params: z.strictObject({}),
    result: z.array(z.object({ address: z.string(), title: z.string(), note: z.string() })),
  },
  startRun: {
    params: z.strictObject({
      plan: z.string(),
      /** Meter addresses; the first is channel a. */
      meters: z.array(z.string()).min(1),
      tool: z
        .strictObject({
          make: z.string(),
          model: z.string(),
          serial: z.string(),
          complaint: z.string(),
          warranty: z.enum(["warranty", "paid", "unknown"]).optional(),
          condition: z.string().optional(),
        })
        .optional(),
      customer: z
        .strictObject({ name: z.string(), contact: z.string(), reference: z.string() })
        .optional(),
      /** Name of the accuracy table of each meter, in their order; empty: nothing is known of it. */
      tables: z.array(z.string()).optional(),
      /** In which order; the shop's where nothing is said. It becomes the shop's. */
      order: z.enum(ORDERS).optional(),
      /** The job that this run repeats after a repair. */
      repeats: jobNameSchema.optional(),
    }),
    result: z.object({
      run: z.string(),
      /** Name of its job's folder. */
      job: jobNameSchema,
    }),
  },
  /** Runs a plan that is not kept yet, on the practice bench only. */
  tryPlan: {
    params: z.strictObject({ text: z.string().max(1_000_000), meter: z.string() }),
    result: z.object({ run: z.string() }),
  },
  stopRun: { params: z.strictObject({}), result: z.object({}) },
  confirm: {
    params: z.strictObject({ step: z.string(), choice: z.string().nullable() }),
    result: z.object({}),
  },
  skip: {
    params: z.strictObject({ step: z.string(), reason: z.string().min(1) }),
    result: z.object({}),
  },
  /** In which order the run goes on, and later ones begin. */
  setOrder: { params: z.strictObject({ order: z.enum(ORDERS) }), result: z.object({}) },
  /** The order that runs begin with in this shop. */
  readOrder: { params: z.strictObject({}), result: z.object({ order: z.enum(ORDERS) }) },
  /** Where the probes go next, by the place's id; null: nobody says. */
  declareProbe: {
    params: z.strictObject({ place: z.int().nonnegative().nullable() }),
    result: z.object({}),
  },
  repeat: { params: z.strictObject({ step: z.string() }), result: z.object({}) },
  ...deskCalls,
  ...apartCalls,
  ...jobCalls,
  ...partsCalls,
} as const;

export type CallName = keyof typeof calls;
export type CallParams<N extends CallName> = z.input<(typeof calls)[N]["params"]>;
export type CallResult<N extends CallName> = z.output<(typeof calls)[N]["result"]>;

/** The envelopes on the wire, message port and WebSocket alike. */
export const requestSchema = z.strictObject({
  id: z.int().nonnegative(),
  call: z.enum(Object.keys(calls) as [CallName, ...CallName[]]),
  params: z.unknown(),
});

export const replySchema = z.union([
  z.strictObject({ id: z.int(), ok: z.literal(true), result: z.unknown() }),
  z.strictObject({
    id: z.int(),
    ok: z.literal(false),
    error: z.object({ code: z.string(), what: z.string(), action: z.string() }),
  }),
]);

export type Request = z.infer<typeof requestSchema>;
export type Reply = z.infer<typeof replySchema>;
