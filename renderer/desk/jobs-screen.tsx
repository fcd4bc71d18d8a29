import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useAnswer } from "../store/use-answer.js";
import { TextField } from "./field.js";
import { JobPage } from "./job-page.js";
import { dateText, outcomeWords, toolName } from "./words.js";

type Row = CallResult<"listJobs">["jobs"][number];

/** All jobs of this bench, the newest first. */
export function JobsScreen() {
  const [search, setSearch] = useState("");
  const [open, setOpen] = useState<string | null>(null);
  const answer = useAnswer("listJobs", { search });
  if (open !== null) return <JobPage job={open} onBack={() => setOpen(null)} />;
  return (
    <div className="form">
      <h1>Jobs</h1>
      <TextField
        label="Search in tool, complaint and plan"
        name="search"
        value={search}
        onChange={setSearch}
      />
      {answer?.jobs.length === 0 && <p>No job fits.</p>}
      {answer !== null && answer.jobs.length > 0 && (
        <JobTable jobs={answer.jobs} onOpen={setOpen} />
      )}
      {answer?.unreadable.map(({ job, why }) => (
        <p className="trouble" key={job}>
          {job}: {why}
        </p>
      ))}
    </div>
  );
}

interface TableProps {
  readonly jobs: readonly Row[];
  readonly onOpen: (job: string) => void;
}

function JobTable({ jobs, onOpen }: TableProps) {
  return (
    <table className="list">
      <thead>
        <tr>
          <th scope="col">Tool</th>
          <th scope="col">Complaint</th>
          <th scope="col">Plan</th>
          <th scope="col">Outcome</th>
          <th scope="col">Started</th>
        </tr>
      </thead>
      <tbody>
        {jobs.map((row) => (
          <tr key={row.job} data-testid="job-row">
            <td>
              <button className="link" type="button" onClick={() => onOpen(row.job)}>
                {toolName(row)}
              </button>
              {row.practice && <span className="small"> practice</span>}
            </td>
            <td>{row.tool.complaint}</td>
            <td>{row.plan}</td>
            <td>{outcomeWords(row)}</td>
            <td>{dateText(row.startedAt)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
