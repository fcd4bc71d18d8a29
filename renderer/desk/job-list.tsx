import type { CallResult } from "../../workbench/contract/calls.js";
import { useAsked } from "../store/use-answer.js";
import { useSettled } from "../store/use-settled.js";
import { filterRequest, noFilter } from "./job-filter.js";
import type { FilterData } from "./job-filter.js";
import { dateText, outcomeWords, toolName } from "./words.js";

type List = CallResult<"listJobs">;
type Row = List["jobs"][number];

/** While somebody types, the list waits this long for the next letter. */
const QUIET_MS = 200;

interface Props {
  readonly filter: FilterData;
  readonly turn: number;
  readonly onOpen: (job: string) => void;
}

export function JobList({ filter, turn, onOpen }: Props) {
  const settled = useSettled(filter, QUIET_MS);
  const { answer, failed } = useAsked("listJobs", filterRequest(settled), turn);
  if (failed) return <p>The list of jobs cannot be had; the reason stands above.</p>;
  if (answer === null) {
    return <p role="status">Reading the folders of the jobs. The first time takes some seconds.</p>;
  }
  return (
    <>
      {answer.warning !== null && <p className="hint">{answer.warning}</p>}
      {answer.jobs.length === 0 ? (
        <Nothing narrowed={JSON.stringify(settled) !== JSON.stringify(noFilter)} />
      ) : (
        <JobTable jobs={answer.jobs} onOpen={onOpen} />
      )}
      <Left list={answer} />
      {answer.unreadable.map(({ job, why }) => (
        <p className="trouble" key={job}>
          {job}: {why}
        </p>
      ))}
    </>
  );
}

function Nothing({ narrowed }: { readonly narrowed: boolean }) {
  return narrowed ? (
    <p role="status">No job fits.</p>
  ) : (
    <p role="status">
      There are no jobs yet. Run a plan under New job, or import a folder from another bench.
    </p>
  );
}

function Left({ list: { jobs, total } }: { readonly list: List }) {
  if (total <= jobs.length) return null;
  return (
    <p className="small">
      The newest {jobs.length} of {total}. Narrow the search to see the others.
    </p>
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
          <tr key={`${row.elsewhere ?? ""}/${row.job}`} data-testid="job-row">
            <td>
              {row.elsewhere === null ? (
                <button className="link" type="button" onClick={() => onOpen(row.job)}>
                  {toolName(row)}
                </button>
              ) : (
                toolName(row)
              )}
              <span className="small">{marksOf(row)}</span>
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

function marksOf({ practice, damaged, elsewhere }: Row): string {
  const marks = [
    practice ? "practice" : null,
    damaged ? "damaged" : null,
    elsewhere === null ? null : `on bench ${elsewhere}`,
  ].filter((mark) => mark !== null);
  return marks.length === 0 ? "" : ` ${marks.join(", ")}`;
}
