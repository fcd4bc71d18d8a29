import { useEffect, useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { AreaField } from "./field.js";
import { PlanForm } from "./plan-form.js";
import { readForm, writeForm } from "./plan-text.js";

interface Props {
  readonly plan: string;
  readonly onBack: () => void;
}

/** A plan as a form beside its JSON, checked as it is typed. */
export function PlanEditor({ plan, onBack }: Props) {
  const kept = useAnswer("readPlan", { plan });
  return (
    <div className="form" data-testid="plan-editor">
      <div>
        <button className="button small" type="button" onClick={onBack}>
          All plans
        </button>
      </div>
      {kept && <Editor kept={kept} onBack={onBack} />}
    </div>
  );
}

interface EditorProps {
  readonly kept: CallResult<"readPlan">;
  readonly onBack: () => void;
}

function Editor({ kept, onBack }: EditorProps) {
  const { client } = useBench();
  const act = useAction();
  const [text, setText] = useState(kept.text);
  const checked = useChecked(text);
  const form = readForm(text);
  const errors = checked?.findings.filter(({ level }) => level === "error") ?? [];
  const save = (): void => act(client.call("savePlan", { text }).then(onBack));
  return (
    <>
      <h1>{form?.title ?? "Plan"}</h1>
      {!kept.own && (
        <p className="small">
          This plan came with the program. Give it an id of its own, and it is kept as the shop's.
        </p>
      )}
      <Findings checked={checked} />
      <div>
        <button
          className="button"
          data-kind="main"
          type="button"
          disabled={checked === null || errors.length > 0 || text === kept.text}
          onClick={save}
        >
          Keep the plan
        </button>
      </div>
      <div className="columns">
        {form === null ? (
          <p>The form comes back when the text is a plan again.</p>
        ) : (
          <PlanForm plan={form} onChange={(plan) => setText(writeForm(plan))} />
        )}
        <div className="plan-json">
          <AreaField label="The plan as JSON" rows={30} value={text} onChange={setText} />
        </div>
      </div>
    </>
  );
}

function Findings({ checked }: { readonly checked: CallResult<"checkPlan"> | null }) {
  if (checked === null) return <p role="status">Checking.</p>;
  if (checked.findings.length === 0) {
    return (
      <p role="status" data-testid="findings">
        Checked: nothing found wrong.
      </p>
    );
  }
  return (
    <ul className="findings" role="status" data-testid="findings">
      {checked.findings.map(({ level, code, path, what, action }, at) => (
        <li key={at} data-level={level}>
          <b>{level === "error" ? "Error" : "Warning"}</b> {path !== "" && `At ${path}: `}
          {what} {action} <span className="small">[{code}]</span>
        </li>
      ))}
    </ul>
  );
}

/** Long enough that a word is typed to its end. */
const PAUSE_MS = 350;

/** The checker's answer to the text as it stands; null while it is out. */
function useChecked(text: string): CallResult<"checkPlan"> | null {
  const { client } = useBench();
  const [answer, setAnswer] = useState<{
    readonly text: string;
    readonly checked: CallResult<"checkPlan">;
  } | null>(null);
  const act = useAction();
  useEffect(() => {
    const timer = setTimeout(() => {
      act(client.call("checkPlan", { text }).then((checked) => setAnswer({ text, checked })));
    }, PAUSE_MS);
    return () => clearTimeout(timer);
    // `act` is made anew each time it is drawn; it does the same.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [client, text]);
  return answer?.text === text ? answer.checked : null;
}
