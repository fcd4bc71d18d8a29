import type { CallResult } from "../../workbench/contract/calls.js";
import { dateText, outcomeWords, toolName } from "./words.js";

type Job = CallResult<"readJob">;

/** Whose tool, what was said of it, how the run came out. */
export function JobHead({ job }: { readonly job: Job }) {
  const facts: readonly (readonly [string, string])[] = [
    ["Complaint", job.tool.complaint],
    ["Condition on arrival", job.tool.condition],
    ["Who pays", PAYS[job.tool.warranty]],
    ["Customer", job.customer?.name ?? ""],
    ["Plan", job.plan],
    ["Started", dateText(job.startedAt)],
    ["Outcome", outcomeWords(job)],
    ["Conclusion", job.conclusion ?? ""],
    ["Meter", job.meters.map(meterWords).join("; ")],
    ["Folder", job.folder],
  ];
  return (
    <header className="form">
      <h1>{toolName(job)}</h1>
      {job.practice && <p className="practice-mark">Practice: nothing in it is evidence.</p>}
      {job.archived && <p className="practice-mark">Archived</p>}
      <dl className="plain-facts">
        {facts
          .filter(([, words]) => words !== "")
          .map(([term, words]) => (
            <div key={term}>
              <dt>{term}</dt>
              <dd>{words}</dd>
            </div>
          ))}
      </dl>
      {job.damage.map((words) => (
        <p className="trouble" role="alert" key={words}>
          Damaged: {words}
        </p>
      ))}
    </header>
  );
}

const PAYS = { warranty: "Warranty", paid: "The customer", unknown: "" } as const;

function meterWords({ title, calibratedOn }: Job["meters"][number]): string {
  const calibrated = calibratedOn === null ? "calibration not known" : `calibrated ${calibratedOn}`;
  return `${title} (${calibrated})`;
}
