import { useState } from "react";
import type { ReactNode } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useAsked } from "../store/use-answer.js";
import { FailuresPlot } from "./failures-plot.js";
import { SelectField } from "./field.js";
import { ResistancePlot } from "./resistance-plot.js";
import { dateText } from "./words.js";

/** What all jobs of the shop say together. Practice jobs do not count. */
export function TrendsScreen() {
  return (
    <div className="form">
      <h1>Trends</h1>
      <Failures />
      <Resistance />
    </div>
  );
}

const WAITING = "Reading the jobs. The first time takes some seconds.";
const FAILED = "The index of jobs cannot be had; the reason stands above.";

function Failures() {
  const { answer, failed } = useAsked("whatFails", {});
  return (
    <section className="card form" aria-label="What fails most" data-testid="failures">
      <h2>What fails most, by model</h2>
      {answer === null && <p role="status">{failed ? FAILED : WAITING}</p>}
      {answer?.length === 0 && <p>No check has failed in a job of a real tool yet.</p>}
      {answer !== null && answer.length > 0 && (
        <>
          <p className="small">
            Filled: the runs in which the check failed, of all runs in which it was judged.
          </p>
          <FailuresPlot failures={answer} />
          <FailuresTable failures={answer} />
        </>
      )}
    </section>
  );
}

function FailuresTable({ failures }: { readonly failures: CallResult<"whatFails"> }) {
  return (
    <FoldedTable heads={["Model", "Check", "Failed", "Judged"]}>
      {failures.map(({ make, model, step, title, failed, judged }) => (
        <tr key={`${make}/${model}/${step}`}>
          <td>{`${make} ${model}`.trim() || "not stated"}</td>
          <td>{title}</td>
          <td>{failed}</td>
          <td>{judged}</td>
        </tr>
      ))}
    </FoldedTable>
  );
}

function Resistance() {
  const { answer, failed } = useAsked("packResistance", {});
  const [model, setModel] = useState("");
  const models = [...new Set((answer ?? []).map((point) => point.model))].sort();
  const points = (answer ?? []).filter((point) => model === "" || point.model === model);
  return (
    <section className="card form" aria-label="Resistance of packs" data-testid="resistance">
      <h2>Resistance of packs over the years</h2>
      {answer === null && <p role="status">{failed ? FAILED : WAITING}</p>}
      {answer?.length === 0 && (
        <p>
          No sag of a real tool has given a resistance yet: it takes a second meter on the current.
        </p>
      )}
      {points.length > 0 && (
        <>
          {models.length > 1 && (
            <div className="fields">
              <SelectField
                label="Model"
                value={model}
                options={[["", "All models"], ...models.map((each) => [each, each] as const)]}
                onChange={setModel}
              />
            </div>
          )}
          <p className="small">One line a tool. Whiskers: two standard uncertainties each way.</p>
          <ResistancePlot points={points} />
          <ResistanceTable points={points} />
        </>
      )}
    </section>
  );
}

function ResistanceTable({ points }: { readonly points: CallResult<"packResistance"> }) {
  return (
    <FoldedTable heads={["Tool", "Measured", "Resistance", "Standard uncertainty"]}>
      {points.map(({ make, model, serial, at, resistance_ohm, u_ohm }) => (
        <tr key={`${serial}/${at}`}>
          <td>{`${make} ${model} ${serial}`}</td>
          <td>{dateText(at)}</td>
          <td>{milliohms(resistance_ohm)}</td>
          <td>{u_ohm === null ? "not known" : milliohms(u_ohm)}</td>
        </tr>
      ))}
    </FoldedTable>
  );
}

interface FoldedTableProps {
  readonly heads: readonly string[];
  readonly children: ReactNode;
}

/** Whoever cannot see a plot, or wants its figures, unfolds it. */
function FoldedTable({ heads, children }: FoldedTableProps) {
  return (
    <details>
      <summary>The same as a table</summary>
      <table className="list">
        <thead>
          <tr>
            {heads.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </details>
  );
}

/** Three digits, never as a power of ten: 1.234 Ω are 1230 mΩ. */
const threeDigits = new Intl.NumberFormat("en", {
  minimumSignificantDigits: 3,
  maximumSignificantDigits: 3,
  useGrouping: false,
});

function milliohms(ohm: number): string {
  return `${threeDigits.format(ohm * 1000)} m\u03a9`;
}
