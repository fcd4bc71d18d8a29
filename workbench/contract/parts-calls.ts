import { z } from "zod";
import { jobNameSchema } from "./apart.js";

const cover = z.object({
  items: z.array(
    z.object({
      number: z.string(),
      label: z.string(),
      covers: z.array(z.string()),
      price: z.number(),
      fit_min: z.number(),
    }),
  ),
  labour_min: z.number(),
  parts_cost: z.number(),
  labour_cost: z.number(),
  total: z.number(),
});

const decision = z.object({
  /** ISO 4217 code of the price list. */
  currency: z.string(),
  /** Parts to replace, by id. */
  suspects: z.array(z.string()),
  /** null: the price list does not cover them. */
  repair: cover.nullable(),
  /** Parts that nothing in the list replaces. */
  uncovered: z.array(z.string()),
  replace: z.object({ total: z.number() }).nullable(),
  warranty: z.object({ open: z.boolean(), words: z.string() }).nullable(),
  cheaper: z.enum(["repair", "replace"]).nullable(),
  assumptions: z.array(z.string()),
});

/** What a job's finding costs to put right. */
export const partsCalls = {
  jobParts: {
    params: z.strictObject({
      job: jobNameSchema,
      /** Parts from this probability on are replaced. */
      threshold: z.number().gt(0).max(1),
      /** What a new tool costs, in the list's currency; null: nobody said. */
      newTool: z.number().nonnegative().nullable(),
      /** What an hour at the bench costs. */
      perHour: z.number().nonnegative(),
    }),
    result: z.object({
      /** Kind of tool, as price lists are kept by it. */
      kind: z.string(),
      /** null: there is no model of this kind of tool, and nothing is reasoned. */
      finding: z
        .object({
          settled: z.boolean(),
          parts: z.array(
            z.object({
              id: z.string(),
              label: z.string(),
              state: z.enum(["unknown", "cleared", "suspect", "condemned"]),
              odds: z.number(),
            }),
          ),
        })
        .nullable(),
      /** The price list in use; null: none was imported for this kind of tool. */
      prices: z.object({ currency: z.string(), items: z.int() }).nullable(),
      decision: decision.nullable(),
      /** The items to order as CSV (RFC 4180), with the name for the file. */
      partsList: z.object({ name: z.string(), csv: z.string() }).nullable(),
    }),
  },
  /** Takes a price list for a kind of tool; a wrong one is refused with its line and column. */
  importPrices: {
    params: z.strictObject({ kind: z.string(), csv: z.string().max(1_000_000) }),
    result: z.object({ currency: z.string(), items: z.int() }),
  },
  /** An invented price list, to try the page with or to begin one's own from. */
  demoPrices: {
    params: z.strictObject({ kind: z.string() }),
    result: z.object({ name: z.string(), csv: z.string() }),
  },
} as const;

export type JobParts = z.output<(typeof partsCalls)["jobParts"]["result"]>;
