import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useAsked } from "../store/use-answer.js";
import { figureText } from "../view/figures.js";
import { foundWords, isMeasured, verdictWord } from "../view/verdict-words.js";
import { OverlayPlot } from "./overlay-plot.js";
import { dateText, toolName } from "./words.js";

type Step = CallResult<"compareJobs">[number];

type Job = CallResult<"readJob">;

interface Props {
  /** Two jobs of one tool, in any order. */
  readonly jobs: readonly [string, string];
  readonly onBack: () => void;
}

/** Two runs of one tool: step beside step, and the traces of one step laid over each other. */
export function ComparePage({ jobs: [one, other], onBack }: Props) {
  const a = useAsked("readJob", { job: one });
  const b = useAsked("readJob", { job: other });
  const ready = a.answer !== null && b.answer !== null;
  return (
    <article className="form" data-testid="compare-page">
      <div>
        <button className="button small" type="button" onClick={onBack}>
          Back to the job
        </button>
      </div>
      {(a.failed || b.failed) && <p>The runs cannot be read; the reason stands above.</p>}
      {ready && <Comparison jobs={inOrder(a.answer, b.answer)} />}
    </article>
  );
}

/** The earlier one first. */
function inOrder(a: Job, b: Job): readonly [Job, Job] {
  return a.startedAt <= b.startedAt ? [a, b] : [b, a];
}

function Comparison({ jobs: [before, after] }: { readonly jobs: readonly [Job, Job] }) {
  const [first, second] = [before.job, after.job];
  const { answer: steps, failed } = useAsked("compareJobs", { first, second });
  const [chosen, setChosen] = useState<string | null>(null);
  const shown = steps === null ? null : (chosen ?? mostTelling(steps));
  const names = {
    first: `Earlier, ${dateText(before.startedAt)}`,
    second: `Later, ${dateText(after.startedAt)}`,
  };
  return (
    <>
      <h1>Two runs of {toolName(after)}</h1>
      {failed && <p>The runs cannot be compared; the reason stands above.</p>}
      {steps?.length === 0 && <p>Neither run has a recorded step.</p>}
      {shown !== null && (
        <OverlayPlot
          first={first}
          second={second}
          step={shown}
          title={steps?.find(({ step }) => step === shown)?.title ?? shown}
          names={names}
        />
      )}
      {steps !== null && steps.length > 0 && (
        <CompareTable steps={steps} names={names} shown={shown} onShow={setChosen} />
      )}
    </>
  );
}

/** The trace to begin with: of the first check whose verdict changed, else the first there is. */
function mostTelling(steps: readonly Step[]): string | null {
  const traced = steps.filter(isTraced);
  const changed = traced.find((step) => step.first?.verdict !== step.second?.verdict);
  return (changed ?? traced[0])?.step ?? null;
}

function isTraced({ kind, first, second }: Step): boolean {
  return kind === "measure" && first !== null && second !== null;
}

interface TableProps {
  readonly steps: readonly Step[];
  readonly names: { readonly first: string; readonly second: string };
  readonly shown: string | null;
  readonly onShow: (step: string) => void;
}

function CompareTable({ steps, names, shown, onShow }: TableProps) {
  return (
    <table className="list" data-testid="compare-table">
      <thead>
        <tr>
          <th scope="col">Step</th>
          <th scope="col">{names.first}</th>
          <th scope="col">{names.second}</th>
          <th scope="col">Change</th>
        </tr>
      </thead>
      <tbody>
        {steps.map((step) => (
          <tr key={step.step} data-verdict={step.second?.verdict} data-testid="compare-row">
            <td>
              {isTraced(step) ? (
                <button
                  className="link"
                  type="button"
                  aria-pressed={step.step === shown}
                  onClick={() => onShow(step.step)}
                >
                  {step.title}
                </button>
              ) : (
                step.title
              )}
            </td>
            <td>{sideWords(step.first, step.kind)}</td>
            <td>{sideWords(step.second, step.kind)}</td>
            <td>{changeWords(step)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function sideWords(result: Step["first"], kind: Step["kind"]): string {
  if (result === null) return "not taken";
  const word = verdictWord(result, kind);
  return isMeasured(result) ? `${word}: ${foundWords(result)}` : word;
}

function changeWords({ change, second }: Step): string {
  if (change === null || second === null) return "";
  const sign = change > 0 ? "+" : "";
  return `${sign}${figureText(change, second.unit, second.resolution)}`;
}
