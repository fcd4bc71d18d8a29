import { z } from "zod";

/** What comes off a tool and goes back on, and photos: shared by bench and desk. */

/** The name of a job's folder inside the jobs folder; never a path. */
export const jobNameSchema = z.string().regex(/^(?!\.)[^/\\\0]{1,255}$/);

const count = z.int().min(0).max(999);
const words = z.string().max(200);

export const removedSchema = z.object({
  what: words.min(1),
  from: words,
  fasteners: count,
  fastenerKind: words,
});

const apartItemSchema = removedSchema.extend({
  step: z.string(),
  /** 0: what the plan expects to come off in this step; 1 and up: what came off besides. */
  item: z.int(),
  at_s: z.number(),
  photos: z.array(z.string()),
  /** null: it is still off; `counted`: somebody counted its fasteners. */
  back: z.object({ fasteners: z.int(), counted: z.boolean() }).nullable(),
  /** Came out minus gone in; negative when more went in than came out. */
  fastenersLeft: z.int(),
  /** In the imperative, as on the way back. */
  words: z.string(),
});

export const apartSchema = z.object({
  /** Last off, first on. */
  order: z.array(apartItemSchema),
  leftOver: z.record(z.string(), z.int()),
  partsLeft: z.int(),
  /** What is left over, in words. */
  words: z.string(),
});

export type Apart = z.infer<typeof apartSchema>;
export type ApartItem = z.infer<typeof apartItemSchema>;

const item = { step: z.string(), item: z.int().min(0).max(99) };

/** All of them answer for a job that is being run and for one that is not. */
export const apartCalls = {
  readApart: { params: z.strictObject({ job: jobNameSchema }), result: apartSchema },
  noteRemoval: {
    params: z.strictObject({
      job: jobNameSchema,
      ...item,
      ...removedSchema.shape,
      withdrawn: z.boolean(),
    }),
    result: apartSchema,
  },
  putBack: {
    params: z.strictObject({
      job: jobNameSchema,
      ...item,
      /** null: it is off after all. */
      fasteners: count.nullable(),
    }),
    result: apartSchema,
  },
  /** Keeps a photo in the job: JPEG or PNG, base64. */
  addPhoto: {
    params: z.strictObject({
      job: jobNameSchema,
      data: z.base64().max(28_000_000),
      caption: z.string().min(1).max(300),
      moment: z.enum(["on-arrival", "at-work", "after-repair"]),
      of: z.strictObject(item).nullable(),
    }),
    result: z.object({ file: z.string() }),
  },
  /** A photo of a job as a data address, for an img element. */
  readPhoto: {
    params: z.strictObject({ job: jobNameSchema, file: z.string() }),
    result: z.object({ address: z.string() }),
  },
} as const;
