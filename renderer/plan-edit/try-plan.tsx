import { useRef, useState } from "react";
import { SelectField } from "../desk/field.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { readText } from "./plan-text.js";
import { textAt } from "./json-path.js";

interface Props {
  readonly text: string;
  readonly ready: boolean;
}

/** Runs the plan as it stands on the practice bench: which tool, and what is hidden in it. */
export function TryPlan({ text, ready }: Props) {
  const { client } = useBench();
  const act = useAction();
  const tools = useAnswer("listPractice", {}) ?? [];
  const dialog = useRef<HTMLDialogElement>(null);
  const planned = textAt(readText(text) ?? {}, ["tool", "kind"]);
  const [chosen, setChosen] = useState<{ kind?: string; address?: string }>({});
  const kind = chosen.kind ?? planned;
  const tool = tools.find((each) => each.kind === kind) ?? tools[0];
  // Healthy first: a new plan has to let a good tool pass.
  const address = chosen.address ?? tool?.choices[1]?.address ?? tool?.choices[0]?.address;
  if (tool === undefined || address === undefined) return null;
  const start = (): void => {
    dialog.current?.close();
    act(client.call("tryPlan", { text, meter: address }));
  };
  return (
    <>
      <button
        className="button"
        type="button"
        disabled={!ready}
        onClick={() => dialog.current?.showModal()}
      >
        Try it on the practice bench
      </button>
      <dialog ref={dialog} className="settings" aria-label="Try the plan">
        <div className="form">
          <h2>Try the plan on the practice bench</h2>
          <SelectField
            label="Simulated tool"
            value={tool.kind}
            options={tools.map((each) => [each.kind, each.title] as const)}
            onChange={(next) => setChosen({ kind: next })}
          />
          <SelectField
            label="Hidden in it"
            value={address}
            options={tool.choices.map((each) => [each.address, each.title] as const)}
            onChange={(next) => setChosen({ kind: tool.kind, address: next })}
          />
          <p className="small">
            The changes stay here: afterwards, “To the desk” leads back to them.
          </p>
          <div className="choices">
            <button className="button" data-kind="main" type="button" onClick={start}>
              Start the trial
            </button>
            <button className="button" type="button" onClick={() => dialog.current?.close()}>
              Not now
            </button>
          </div>
        </div>
      </dialog>
    </>
  );
}
