import { useState } from "react";
import { useCan } from "../store/bench-context.js";
import { useAnswer, useAsked } from "../store/use-answer.js";
import type { Apart } from "../../workbench/contract/apart.js";
import { ClosingList } from "../apart/closing-list.js";
import { DeleteForm } from "./delete-form.js";
import { JobActions } from "./job-actions.js";
import { JobHead } from "./job-head.js";
import { JobNotes } from "./job-notes.js";
import { JobParts } from "./job-parts.js";
import { JobPhotos } from "./job-photos.js";
import { JobSteps } from "./job-steps.js";
import { JobTrace } from "./job-trace.js";
import { PackForm } from "./pack-form.js";
import type { RepeatPreset } from "./start-request.js";

interface Props {
  readonly job: string;
  readonly onBack: () => void;
  readonly onOpen: (job: string) => void;
  readonly onCompare: (other: string) => void;
  readonly onRepeat: (preset: RepeatPreset) => void;
}

/** One job: what was found, the traces it was found in, what was added, and the claim pack. */
export function JobPage({ job, onBack, onOpen, onCompare, onRepeat }: Props) {
  const [turn, setTurn] = useState(0);
  const { answer: content, failed } = useAsked("readJob", { job }, turn);
  const { answer: others } = useAsked("otherRuns", { job });
  const canPack = useCan("packJob");
  const canDelete = useCan("deleteJob");
  const canPrice = useCan("jobParts");
  const again = (): void => setTurn(turn + 1);
  return (
    <article className="form" data-testid="job-page">
      <div>
        <button className="button small" type="button" onClick={onBack}>
          All jobs
        </button>
      </div>
      {content === null ? (
        <p role="status">
          {failed ? "The job cannot be read; the reason stands above." : "Reading the job."}
        </p>
      ) : (
        <>
          <JobHead job={content} />
          <JobActions
            job={content}
            others={others}
            onChange={again}
            onOpen={onOpen}
            onCompare={onCompare}
            onRepeat={onRepeat}
          />
          <JobSteps steps={content.steps} />
          {content.meters
            .filter(({ traced }) => traced)
            .map(({ channel, title }) => (
              <JobTrace key={channel} job={job} channel={channel} title={title} />
            ))}
          {canPrice && <JobParts job={job} />}
          <TakenApart job={job} />
          <JobPhotos job={job} photos={content.photos} onAdded={again} />
          <JobNotes job={job} notes={content.notes} onAdded={again} />
          {canPack && (
            <PackForm
              job={job}
              hasCustomer={content.customer !== null}
              runs={others?.runs ?? []}
              repeats={others?.repeats ?? null}
            />
          )}
          {canDelete && <DeleteForm job={job} deletion={content.deletion} onDeleted={onBack} />}
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
