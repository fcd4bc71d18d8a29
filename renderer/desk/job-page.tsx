import { useState } from "react";
import type { Apart } from "../../workbench/contract/apart.js";
import { ClosingList } from "../apart/closing-list.js";
import type { CallResult } from "../../workbench/contract/calls.js";
import { VerdictWord } from "../bench/verdict-word.js";
import { useCan } from "../store/bench-context.js";
import { useAnswer } from "../store/use-answer.js";
import { expectedWords, foundWords, isMeasured, remarks } from "../view/verdict-words.js";
import { JobTrace } from "./job-trace.js";
import { PackForm } from "./pack-form.js";
import { dateText, outcomeWords, toolName } from "./words.js";

type Job = CallResult<"readJob">;

interface Props {
  readonly job: string;
  readonly onBack: () => void;
}

/** One job: what was found, the traces it was found in, and the claim pack. */
export function JobPage({ job, onBack }: Props) {
  const content = useAnswer("readJob", { job });
  const canPack = useCan("packJob");
  return (
    <article className="form" data-testid="job-page">
      <div>
        <button className="button small" type="button" onClick={onBack}>
          All jobs
        </button>
      </div>
      {content === null ? (
        <p>Reading the job.</p>
      ) : (
        <>
          <JobHead job={content} />
          <Steps steps={content.steps} />
          {content.meters
            .filter(({ traced }) => traced)
            .map(({ channel, title }) => (
              <JobTrace key={channel} job={job} channel={channel} title={title} />
            ))}
          <TakenApart job={job} />
          {canPack && <PackForm job={job} hasCustomer={content.customer !== null} />}
        </>
      )}
    </article>
  );
}

/** What came off, where anything did: the tool may still lie open when the plan has ended. */
function TakenApart({ job }: { readonly job: string }) {
  const read = useAnswer("readApart", { job });
  const [changed, setChanged] = useState<Apart | null>(null);
  const apart = changed ?? read;
  if (apart === null || apart.order.length === 0) return null;
  return (
    <section className="form" data-testid="job-apart">
      <h2>What came off, last off first on</h2>
      <ClosingList job={job} apart={apart} onChange={setChanged} />
    </section>
  );
}

function JobHead({ job }: { readonly job: Job }) {
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

function Steps({ steps }: Pick<Job, "steps">) {
  if (steps.length === 0) return <p>No step was recorded.</p>;
  return (
    <table className="list">
      <thead>
        <tr>
          <th scope="col">Step</th>
          <th scope="col">Expected</th>
          <th scope="col">Found</th>
          <th scope="col">Verdict</th>
        </tr>
      </thead>
      <tbody>
        {steps.map((step) => (
          <StepRow step={step} key={step.result.step} />
        ))}
      </tbody>
    </table>
  );
}

function StepRow({
  step: { result, title, kind, fails },
}: {
  readonly step: Job["steps"][number];
}) {
  const said = remarks(result);
  const failed = result.verdict === "fail";
  return (
    <tr data-verdict={result.verdict} data-testid="job-step">
      <td>
        {title}
        {said.length > 0 && <div className="small">{said.join("; ")}</div>}
        {failed && fails !== "" && <div className="small">{fails}</div>}
      </td>
      <td>{result.limits && expectedWords(result.limits, result.unit, result.resolution)}</td>
      <td>{isMeasured(result) && foundWords(result)}</td>
      <td>
        <VerdictWord verdict={result.verdict} kind={kind === "do" ? "do" : "measure"} />
      </td>
    </tr>
  );
}
