import { z } from "zod";
import { planSchema } from "./schema.js";

/** The plan format as JSON Schema (draft 2020-12), for editors: what a file may hold as written. */
export function planJsonSchema(): Record<string, unknown> {
  const schema = z.toJSONSchema(planSchema, { io: "input", target: "draft-2020-12" });
  return {
    title: "Leadhand plan, version 1",
    description: "The ordered checks for a kind of tool; docs/plans.md tells what the fields mean.",
    ...schema,
  };
}
