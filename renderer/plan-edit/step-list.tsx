import { useState } from "react";
import { PLAN_CHOICES } from "../../workbench/contract/plan-choices.js";
import { findingsAt, useEdit } from "./edit-context.js";
import { listAt, textAt } from "./json-path.js";
import { addStep, copyStep, moveStep } from "./plan-text.js";

interface Props {
  readonly at: number;
  readonly onGo: (at: number) => void;
}

/** The steps in order, with what is found wrong in each, and what can be done to the order. */
export function StepList({ at, onGo }: Props) {
  const { plan, findings } = useEdit();
  const steps = listAt(plan, ["steps"]);
  return (
    <div className="form">
      <ol className="step-list" data-testid="step-list">
        {steps.map((step, n) => {
          const found = findingsAt(findings, ["steps", n], true);
          return (
            <li key={n}>
              <button
                className="step-entry"
                type="button"
                aria-current={n === at ? "step" : undefined}
                onClick={() => onGo(n)}
              >
                <span>
                  {n + 1}. {textAt(step, ["title"])}
                </span>
                <span className="small">{textAt(step, ["kind"])}</span>
                {found.length > 0 && <Mark errors={found.map(({ level }) => level)} />}
              </button>
            </li>
          );
        })}
      </ol>
      <StepTools at={at} count={steps.length} onGo={onGo} />
    </div>
  );
}

function Mark({ errors }: { readonly errors: readonly string[] }) {
  const wrong = errors.filter((level) => level === "error").length;
  const words = wrong > 0 ? `${wrong} wrong` : `${errors.length} to know`;
  return (
    <span className="step-mark" data-level={wrong > 0 ? "error" : "warning"}>
      {words}
    </span>
  );
}

function StepTools({ at, count, onGo }: Props & { readonly count: number }) {
  const { plan, put, set } = useEdit();
  const [kind, setKind] = useState<string>("measure");
  const move = (to: number) => () => {
    put(moveStep(plan, at, to));
    onGo(to);
  };
  const remove = (): void => {
    set(["steps"], listAt(plan, ["steps"]).toSpliced(at, 1));
    onGo(Math.max(0, Math.min(at, count - 2)));
  };
  return (
    <div className="row step-tools">
      <button className="button small" type="button" disabled={at === 0} onClick={move(at - 1)}>
        Earlier
      </button>
      <button
        className="button small"
        type="button"
        disabled={at >= count - 1}
        onClick={move(at + 1)}
      >
        Later
      </button>
      <button
        className="button small"
        type="button"
        onClick={() => {
          put(copyStep(plan, at));
          onGo(at + 1);
        }}
      >
        Copy
      </button>
      <button className="button small" type="button" disabled={count <= 1} onClick={remove}>
        Remove the step
      </button>
      <label className="inline">
        <span className="unseen">Kind of the new step</span>
        <select value={kind} onChange={(event) => setKind(event.target.value)}>
          {PLAN_CHOICES.kind.map((each) => (
            <option key={each}>{each}</option>
          ))}
        </select>
      </label>
      <button
        className="button small"
        type="button"
        onClick={() => {
          put(addStep(plan, at, kind));
          onGo(at + 1);
        }}
      >
        Add a step after this
      </button>
    </div>
  );
}
