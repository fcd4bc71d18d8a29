import { useRef, useState } from "react";
import { getSettings } from "../settings/settings.js";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useStepOutline } from "../store/use-step.js";

/** The usual reasons; another can be written. The record shows the words as they stand here. */
const REASONS = [
  "cannot be done on this tool",
  "the points cannot be reached",
  "not safe on this tool",
  "already known from another step",
  "not asked for by the customer",
];

/** The button's name for the key that presses it. */
export const SKIP_BUTTON = "skip-button";

/** Skips the step in progress, never without a reason. */
export function SkipButton() {
  const dialog = useRef<HTMLDialogElement>(null);
  const outline = useStepOutline();
  const [open, setOpen] = useState(false);
  if (outline === null) return null;
  return (
    <>
      <button
        className="button small"
        type="button"
        id={SKIP_BUTTON}
        onClick={() => {
          setOpen(true);
          dialog.current?.showModal();
        }}
      >
        Skip this step
      </button>
      <dialog
        ref={dialog}
        className="settings"
        aria-label="Skip this step"
        data-testid="skip-dialog"
        onClose={() => setOpen(false)}
      >
        {open && <Reasons onClose={() => dialog.current?.close()} />}
      </dialog>
    </>
  );
}

function Reasons({ onClose }: { readonly onClose: () => void }) {
  const { client } = useBench();
  const act = useAction();
  // The step that was there when it was asked: the plan may go on meanwhile.
  const [outline] = useState(useStepOutline());
  const now = useBenchSlice((state) => state.step?.id ?? null);
  const [chosen, setChosen] = useState(0);
  const [own, setOwn] = useState("");
  const reason = REASONS[chosen] ?? own.trim();
  const skip = (): void => {
    if (outline === null || reason === "") return;
    if (now === outline.id) act(client.call("skip", { step: outline.id, reason }));
    onClose();
  };
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        skip();
      }}
      onKeyDown={(event) => {
        // The key, or pedal, that opened this says yes to the reason that is chosen.
        if (event.code !== getSettings().keys.skip || event.target instanceof HTMLTextAreaElement)
          return;
        event.preventDefault();
        if (!event.repeat) skip();
      }}
    >
      <h2>Skip: {outline?.title}</h2>
      <ReasonList chosen={chosen} onChoose={setChosen} />
      {chosen === REASONS.length && (
        <label className="field">
          <span className="label">In your own words</span>
          <textarea
            rows={2}
            value={own}
            maxLength={300}
            onChange={(event) => setOwn(event.target.value)}
          />
        </label>
      )}
      <div className="choices">
        <button className="button" data-kind="main" type="submit" disabled={reason === ""}>
          Skip it
        </button>
        <button className="button" type="button" onClick={onClose}>
          Do not skip
        </button>
      </div>
    </form>
  );
}

interface ListProps {
  readonly chosen: number;
  readonly onChoose: (at: number) => void;
}

function ReasonList({ chosen, onChoose }: ListProps) {
  return (
    <fieldset>
      <legend>Why? It stands in the record.</legend>
      <div className="options">
        {[...REASONS, "another reason:"].map((words, at) => (
          <label className="option" key={words}>
            <input
              type="radio"
              name="reason"
              checked={chosen === at}
              autoFocus={at === 0}
              onChange={() => onChoose(at)}
            />
            <span>{words}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
