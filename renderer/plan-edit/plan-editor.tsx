import { useEffect, useRef, useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { dateText } from "../desk/words.js";
import { EditContext } from "./edit-context.js";
import type { Edit, Finding } from "./edit-context.js";
import { listAt, setAt, textAt } from "./json-path.js";
import { useFastInsert } from "./fast-insert.js";
import { PlanFields } from "./plan-fields.js";
import { readText, writeText } from "./plan-text.js";
import { StepForm } from "./step-form.js";
import { StepList } from "./step-list.js";
import { TryPlan } from "./try-plan.js";
import { useEditedText } from "./use-text.js";
import type { EditedText } from "./use-text.js";

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
      {kept && <Editor plan={plan} kept={kept} onBack={onBack} />}
    </div>
  );
}

interface EditorProps extends Props {
  readonly kept: CallResult<"readPlan">;
}

function Editor({ plan, kept, onBack }: EditorProps) {
  const edited = useEditedText(plan, kept.text);
  const { text } = edited;
  const checked = useChecked(text);
  const value = readText(text);
  const [at, setAt_] = useState(0);
  const json = useRef<HTMLTextAreaElement>(null);
  useFastInsert(json, (next) => edited.change(next, false));
  const go = (step: number): void => {
    setAt_(step);
    const shown = readText(json.current?.value ?? "");
    if (json.current) scrollTo(json.current, textAt(listAt(shown ?? {}, ["steps"])[step], ["id"]));
  };
  const put: Edit["put"] = (next) => edited.change(writeText(next), false);
  const set: Edit["set"] = (path, next) =>
    edited.change(writeText(setAt(value ?? {}, path, next)), true);
  const findings = checked?.findings ?? [];
  return (
    <>
      <h1>{value === null ? "Plan" : textAt(value, ["title"]) || "Plan without a title"}</h1>
      {!kept.own && (
        <p className="small">
          This plan came with the program. Give it an id of its own, and it is kept as the shop's.
        </p>
      )}
      <Tools plan={plan} kept={kept} edited={edited} checked={checked} onBack={onBack} />
      <Findings checked={checked} onGo={go} />
      <div className="columns plan-columns">
        {value === null ? (
          <p>The form comes back when the text is JSON again.</p>
        ) : (
          <EditContext value={{ plan: value, findings, set, put }}>
            <div className="form">
              <PlanFields />
              <StepList at={at} onGo={go} />
              <StepForm key={at} at={at} />
            </div>
          </EditContext>
        )}
        <label className="field plan-json">
          <span className="label">The plan as JSON</span>
          <textarea
            ref={json}
            value={text}
            spellCheck={false}
            onChange={(event) => edited.change(event.target.value, true)}
          />
        </label>
      </div>
    </>
  );
}

interface ToolsProps extends EditorProps {
  readonly edited: EditedText;
  readonly checked: CallResult<"checkPlan"> | null;
}

function Tools({ plan, kept, edited, checked, onBack }: ToolsProps) {
  const { client } = useBench();
  const act = useAction();
  const canTry = useCan("tryPlan");
  const { text, unkept } = edited;
  const good = checked !== null && checked.findings.every(({ level }) => level !== "error");
  const save = (): void => {
    const replaces = kept.own ? plan : null;
    const done = (): void => {
      edited.kept();
      onBack();
    };
    act(client.call("savePlan", { text, replaces }).then(done));
  };
  return (
    <div className="row plan-tools">
      <button
        className="button"
        data-kind="main"
        type="button"
        disabled={!good || unkept === null}
        onClick={save}
      >
        Keep the plan
      </button>
      {canTry && <TryPlan text={text} ready={good} />}
      <button className="button" type="button" disabled={!edited.canUndo} onClick={edited.undo}>
        Undo
      </button>
      {unkept !== null && (
        <>
          <span className="small" data-testid="unkept">
            {edited.safe
              ? `Not kept yet; safe on this computer since ${dateText(unkept)}.`
              : "Not kept yet, and this computer has no room to keep it safe: keep it soon."}
          </span>
          <button className="button small" type="button" onClick={edited.reset}>
            Throw the changes away
          </button>
        </>
      )}
    </div>
  );
}

interface FindingsProps {
  readonly checked: CallResult<"checkPlan"> | null;
  readonly onGo: (step: number) => void;
}

function Findings({ checked, onGo }: FindingsProps) {
  const found = checked?.findings ?? [];
  const words = checked === null ? "Checking." : "Checked: nothing found wrong.";
  if (found.length === 0) {
    return (
      <p role="status" data-testid="findings">
        {words}
      </p>
    );
  }
  return (
    <ul className="findings" role="status" data-testid="findings">
      {found.map((finding, at) => (
        <FindingLine key={at} finding={finding} onGo={onGo} />
      ))}
    </ul>
  );
}

function FindingLine({
  finding: { level, code, path, what, action },
  onGo,
}: {
  readonly finding: Finding;
  readonly onGo: (step: number) => void;
}) {
  const step = /^\$\.steps\[(\d+)\]/.exec(path)?.[1];
  return (
    <li data-level={level}>
      <b>{level === "error" ? "Error" : "Warning"}</b>{" "}
      {step === undefined ? (
        path !== "" && `At ${path}: `
      ) : (
        <button className="link" type="button" onClick={() => onGo(Number(step))}>
          Step {Number(step) + 1}
        </button>
      )}{" "}
      {what}. {action} <span className="small">[{code}]</span>
    </li>
  );
}

/** The step's place in the text, a little below the upper edge. */
function scrollTo(area: HTMLTextAreaElement, id: string): void {
  const found = area.value.indexOf(`"id": ${JSON.stringify(id)}`);
  if (id === "" || found < 0) return;
  const line = area.value.slice(0, found).split("\n").length;
  const lines = area.value.split("\n").length;
  area.scrollTop = Math.max(0, ((line - 3) / lines) * area.scrollHeight);
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
