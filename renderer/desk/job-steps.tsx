import type { CallResult } from "../../workbench/contract/calls.js";
import { VerdictWord } from "../bench/verdict-word.js";
import { expectedWords, foundWords, isMeasured, remarks } from "../view/verdict-words.js";

type Step = CallResult<"readJob">["steps"][number];

/** The recorded steps, each as it came out last. */
export function JobSteps({ steps }: { readonly steps: readonly Step[] }) {
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

function StepRow({ step: { result, title, kind, fails } }: { readonly step: Step }) {
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
        <VerdictWord result={result} kind={kind === "do" || kind === "wait" ? kind : "measure"} />
      </td>
    </tr>
  );
}
