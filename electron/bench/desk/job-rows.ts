import type { CallResult } from "../../../workbench/contract/calls.js";
import type { JobRow } from "../../../workbench/jobs/job-row.js";

export type WindowRow = CallResult<"listJobs">["jobs"][number];

/** A row of the index as the window shows it; `bench` is this bench's name. */
export function windowRow(row: JobRow, bench: string): WindowRow {
  const { folder, startedAt, plan, practice, archived, damaged, finished } = row;
  const { make, model, serial, complaint, warranty, condition } = row;
  return {
    job: folder,
    startedAt,
    tool: { make, model, serial, complaint, warranty, condition },
    plan,
    practice,
    archived,
    damaged,
    finished,
    passed: row.passed,
    failed: row.failed,
    other: row.other,
    elsewhere: row.bench === bench ? null : row.bench,
  };
}
