import { useRef, useState } from "react";
import type { StepOutline } from "../../workbench/contract/events.js";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import type { Recorded } from "../store/state.js";
import { foundWords, isMeasured } from "../view/verdict-words.js";
import { VerdictWord } from "./verdict-word.js";

/** All steps of the plan: any of them may be taken now, or once more. */
export function StepsButton() {
  const dialog = useRef<HTMLDialogElement>(null);
  const [open, setOpen] = useState(false);
  return (
    <>
      <button
        className="button small"
        type="button"
        onClick={() => {
          setOpen(true);
          dialog.current?.showModal();
        }}
      >
        All steps
      </button>
      <dialog
        ref={dialog}
        className="settings steps-dialog"
        aria-label="All steps"
        data-testid="steps-dialog"
        onClose={() => setOpen(false)}
      >
        {open && <Steps onClose={() => dialog.current?.close()} />}
      </dialog>
    </>
  );
}

function Steps({ onClose }: { readonly onClose: () => void }) {
  const { client } = useBench();
  const act = useAction();
  const steps = useBenchSlice((state) => state.run?.steps ?? NONE);
  const now = useBenchSlice((state) => state.step?.id ?? null);
  const ledger = useBenchSlice((state) => state.ledger);
  const take = (step: string) => () => {
    act(client.call("repeat", { step }));
    onClose();
  };
  return (
    <div className="form">
      <h2>All steps</h2>
      <p className="small">
        A step taken out of its order begins with what the tool needs for it, such as “First take
        the pack out”. Afterwards the plan goes on with the first step that is still open.
      </p>
      <ol className="steps-list">
        {steps.map((step, at) => (
          <StepRow
            key={step.id}
            step={step}
            at={at}
            isNow={step.id === now}
            recorded={ledger.findLast(({ result }) => result.step === step.id) ?? null}
            onTake={take(step.id)}
          />
        ))}
      </ol>
      <div>
        <button className="button" type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </div>
  );
}

const NONE: readonly StepOutline[] = [];

interface RowProps {
  readonly step: StepOutline;
  readonly at: number;
  readonly isNow: boolean;
  readonly recorded: Recorded | null;
  readonly onTake: () => void;
}

function StepRow({ step, at, isNow, recorded, onTake }: RowProps) {
  return (
    <li data-testid="steps-row" aria-current={isNow ? "step" : undefined}>
      <span>
        {at + 1}. {step.title}
      </span>
      <span className="steps-found">
        {recorded && <VerdictWord result={recorded.result} kind={step.kind} />}
        {recorded && isMeasured(recorded.result) && (
          <span className="small"> {foundWords(recorded.result)}</span>
        )}
      </span>
      {isNow ? (
        <b>now</b>
      ) : (
        <button
          className="button small"
          type="button"
          aria-label={`${recorded ? "Once more" : "Take it now"}: ${step.title}`}
          onClick={onTake}
        >
          {recorded ? "Once more" : "Take it now"}
        </button>
      )}
    </li>
  );
}
