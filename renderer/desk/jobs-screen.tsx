import { useState } from "react";
import { ComparePage } from "./compare-page.js";
import { ImportForm } from "./import-form.js";
import { JobFilterFields, noFilter } from "./job-filter.js";
import { JobList } from "./job-list.js";
import { JobPage } from "./job-page.js";
import type { RepeatPreset } from "./start-request.js";
import { useCan } from "../store/bench-context.js";

type Open =
  | { readonly kind: "list" }
  | { readonly kind: "job"; readonly job: string }
  | { readonly kind: "compare"; readonly job: string; readonly other: string };

interface Props {
  /** Begins a new job that repeats one after its repair. */
  readonly onRepeat: (preset: RepeatPreset) => void;
}

/** All jobs: the list, one job, or two runs of a tool beside each other. */
export function JobsScreen({ onRepeat }: Props) {
  const [filter, setFilter] = useState(noFilter);
  const [open, setOpen] = useState<Open>({ kind: "list" });
  const [imported, setImported] = useState(0);
  const canImport = useCan("importJobs");
  if (open.kind === "compare") {
    const back = (): void => setOpen({ kind: "job", job: open.job });
    return <ComparePage jobs={[open.other, open.job]} onBack={back} />;
  }
  if (open.kind === "job") {
    const { job } = open;
    return (
      <JobPage
        key={job}
        job={job}
        onBack={() => setOpen({ kind: "list" })}
        onOpen={(other) => setOpen({ kind: "job", job: other })}
        onCompare={(other) => setOpen({ kind: "compare", job, other })}
        onRepeat={onRepeat}
      />
    );
  }
  return (
    <div className="form">
      <h1>Jobs</h1>
      <JobFilterFields filter={filter} onChange={setFilter} />
      <JobList filter={filter} turn={imported} onOpen={(job) => setOpen({ kind: "job", job })} />
      {canImport && <ImportForm onDone={() => setImported(imported + 1)} />}
    </div>
  );
}
