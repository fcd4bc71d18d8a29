import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import type { RepeatPreset } from "./start-request.js";
import { dateText, outcomeWords } from "./words.js";

type Job = CallResult<"readJob">;
type Others = CallResult<"otherRuns">;

interface Props {
  readonly job: Job;
  readonly others: Others | null;
  readonly onChange: () => void;
  readonly onOpen: (job: string) => void;
  readonly onCompare: (other: string) => void;
  readonly onRepeat: (preset: RepeatPreset) => void;
}

/** What can be done with a job as a whole, and the other runs of its tool. */
export function JobActions({ job, others, onChange, onOpen, onCompare, onRepeat }: Props) {
  const { client } = useBench();
  const act = useAction();
  const canGoOn = useCan("goOn");
  const archive = (): void =>
    act(
      client.call("archiveJob", { job: job.job, archived: !job.archived }).then(() => onChange()),
    );
  return (
    <section className="form" aria-label="What to do with this job">
      <div className="choices">
        {canGoOn && !job.finished && (
          <button
            className="button"
            data-kind="main"
            data-testid="go-on"
            type="button"
            onClick={() => act(client.call("goOn", { job: job.job }))}
          >
            Go on with this run
          </button>
        )}
        <button
          className="button"
          type="button"
          onClick={() => onRepeat({ repeats: job.job, planId: job.planId, tool: job.tool })}
        >
          Run it again after the repair
        </button>
        <button className="button" type="button" onClick={archive}>
          {job.archived ? "Bring it back" : "Archive"}
        </button>
      </div>
      {others !== null && others.runs.length > 0 && (
        <OtherRuns others={others} onOpen={onOpen} onCompare={onCompare} />
      )}
    </section>
  );
}

interface OthersProps {
  readonly others: Others;
  readonly onOpen: (job: string) => void;
  readonly onCompare: (other: string) => void;
}

function OtherRuns({ others: { runs, repeats }, onOpen, onCompare }: OthersProps) {
  return (
    <>
      <h2>Other runs of this tool</h2>
      <table className="list" data-testid="other-runs">
        <thead>
          <tr>
            <th scope="col">Started</th>
            <th scope="col">Plan</th>
            <th scope="col">Outcome</th>
            <th scope="col">Compare</th>
          </tr>
        </thead>
        <tbody>
          {runs.map((run) => (
            <tr key={run.job}>
              <td>
                <button className="link" type="button" onClick={() => onOpen(run.job)}>
                  {dateText(run.startedAt)}
                </button>
                {run.job === repeats && <span className="small"> before the repair</span>}
              </td>
              <td>{run.plan}</td>
              <td>{outcomeWords(run)}</td>
              <td>
                <button
                  className="button small"
                  type="button"
                  aria-label={`Compare with the run of ${dateText(run.startedAt)}`}
                  onClick={() => onCompare(run.job)}
                >
                  Compare
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}
