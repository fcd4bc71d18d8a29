import { readFile } from "node:fs/promises";
import { LeadhandError } from "../../protocols/error.js";
import { toolSchema } from "../../workbench/job/job-file.js";
import type { JobTool } from "../../workbench/job/job-file.js";

/** Reads a tool's booking-in data; rejects with `input/tool`. */
export async function readToolFile(file: string): Promise<JobTool> {
  try {
    return toolSchema.parse(JSON.parse(await readFile(file, "utf8")));
  } catch (cause) {
    throw new LeadhandError("input/tool", {
      what: `The tool file ${file} cannot be used: ${(cause as Error).message}`,
      action: 'It is JSON with "make", "model", "serial", "complaint" and, where known, "data".',
      cause,
    });
  }
}
