import { PathReasoner } from "../../workbench/diagnosis/path-reasoner.js";
import type { Report } from "../../workbench/diagnosis/report.js";
import { lastResults } from "../../workbench/job/last-results.js";
import { readRecord } from "../../workbench/job/read-job.js";
import type { JobFile } from "../../workbench/job/job-file.js";
import type { ToolModel } from "../../workbench/models/model.js";

export interface JobFinding {
  readonly file: JobFile;
  /** null where there is no model of this kind of tool. */
  readonly model: ToolModel | null;
  readonly report: Report | null;
}

/** What all readings of a recorded job say of the parts. Rejects where the folder is no job. */
export async function jobFinding(folder: string): Promise<JobFinding> {
  const { file, lines } = await readRecord(folder);
  const reasoner = new PathReasoner(file.plan, file.tool.data, file.experience);
  for (const result of lastResults(lines)) reasoner.take(result);
  for (const { event } of lines) if (event.kind === "probed") reasoner.recall(event);
  return { file, model: reasoner.model, report: reasoner.report() };
}
