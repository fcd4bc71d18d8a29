import { useState } from "react";
import { PLAN_CHOICES } from "../../workbench/contract/plan-choices.js";
import { useEdit } from "./edit-context.js";
import { plain, Said, SelectAt, TextAt } from "./fields.js";
import { getAt, isObject, listAt, textAt } from "./json-path.js";
import type { Json, Path } from "./json-path.js";
import { MeasureFields } from "./measure-fields.js";
import { DoFields, LookFields, WaitFields } from "./other-fields.js";
import { renameStep, stepOf } from "./plan-text.js";

/** One step: what all kinds have, then what its own kind has. */
export function StepForm({ at }: { readonly at: number }) {
  const { plan, set } = useEdit();
  const path: Path = ["steps", at];
  const step = getAt(plan, path);
  if (!isObject(step)) return <p>This step is no JSON object.</p>;
  const kind = textAt(step, ["kind"]);
  return (
    <fieldset className="form" data-testid="step-form">
      <legend>
        Step {at + 1}: {textAt(step, ["title"])}
      </legend>
      <Said path={path} />
      <div className="fields">
        <SelectAt
          label="Kind of step"
          path={[...path, "kind"]}
          options={plain(PLAN_CHOICES.kind)}
          onChoose={(chosen) => set(path, stepOf(chosen, plan, step))}
        />
        <IdField key={`${at} ${textAt(step, ["id"])}`} at={at} />
        <TextAt label="Title of the step" path={[...path, "title"]} />
      </div>
      <TextAt label="Instruction, as it is said" path={[...path, "instruction"]} rows={3} />
      {kind === "measure" && <MeasureFields path={path} />}
      {kind === "do" && <DoFields at={at} path={path} />}
      {kind === "look" && <LookFields path={path} />}
      {kind === "wait" && <WaitFields path={path} />}
      <Cautions path={[...path, "cautions"]} />
      <Needs at={at} path={[...path, "needs"]} />
    </fieldset>
  );
}

/** Takes effect when it is left: half a name must not be taken for another step's. */
function IdField({ at }: { readonly at: number }) {
  const { plan, put } = useEdit();
  const path: Path = ["steps", at, "id"];
  const id = textAt(plan, path);
  const [typed, setTyped] = useState(id);
  const commit = (): void => {
    if (typed !== id) put(renameStep(plan, at, typed));
  };
  return (
    <div className="field">
      <label className="field">
        <span className="label">Id of the step</span>
        <input
          value={typed}
          autoComplete="off"
          onChange={(event) => setTyped(event.target.value)}
          onBlur={commit}
          onKeyDown={(event) => {
            if (event.key === "Enter") commit();
          }}
        />
      </label>
      <Said path={path} />
    </div>
  );
}

function Cautions({ path }: { readonly path: Path }) {
  const { plan, set } = useEdit();
  const shown = listAt(plan, path);
  const toggle = (kind: string, on: boolean): void =>
    set(path, on ? [...shown, kind] : shown.filter((each) => each !== kind));
  return (
    <fieldset>
      <legend>Cautions shown before the step begins</legend>
      {PLAN_CHOICES.caution.map((kind) => (
        <label className="check" key={kind}>
          <input
            type="checkbox"
            checked={shown.includes(kind)}
            onChange={(event) => toggle(kind, event.target.checked)}
          />
          {kind.replaceAll("-", " ")}
        </label>
      ))}
      <Said path={path} inside />
    </fieldset>
  );
}

function Needs({ at, path }: { readonly at: number; readonly path: Path }) {
  const { plan, set } = useEdit();
  const needs = listAt(plan, path);
  const earlier = stepsBefore(plan, at);
  const last = earlier.at(-1)?.[0];
  return (
    <fieldset className="form">
      <legend>Makes sense only after</legend>
      {needs.map((_need, n) => (
        <div className="row" key={n}>
          <SelectAt label="Step" path={[...path, n, "step"]} options={earlier} />
          <SelectAt
            label="Came out as"
            path={[...path, n, "verdict"]}
            options={[
              ["pass", "pass, or too close to call"],
              ["fail", "fail"],
              ["judged", "pass, fail or too close to call"],
              ["any", "done at all"],
              ["not-pass", "anything but a pass"],
            ]}
          />
          <button
            className="button small"
            type="button"
            onClick={() => set([...path, n], undefined)}
          >
            Remove
          </button>
        </div>
      ))}
      <Said path={path} />
      {last !== undefined && (
        <div>
          <button
            className="button small"
            type="button"
            onClick={() => set(path, [...needs, { step: last, verdict: "pass" }])}
          >
            Add a step that it needs
          </button>
        </div>
      )}
    </fieldset>
  );
}

export function stepsBefore(plan: Json | undefined, at: number): [string, string][] {
  return listAt(plan, ["steps"])
    .slice(0, at)
    .map((step) => [textAt(step, ["id"]), textAt(step, ["title"])]);
}
