import { useAnswer } from "../store/use-answer.js";
import { useEdit } from "./edit-context.js";
import { CheckAt, NumberAt, Said, SelectAt, TextAt } from "./fields.js";
import { getAt, isObject, listAt } from "./json-path.js";
import type { Json, JsonObject } from "./json-path.js";

/** What the whole plan says: its name, the kind of tool, the tool's data, the points. */
export function PlanFields() {
  const kinds = (useAnswer("listPractice", {}) ?? []).map(
    ({ kind, title }) => [kind, title] as const,
  );
  return (
    <div className="form">
      <div className="fields">
        <TextAt label="Title of the plan" path={["title"]} />
        <TextAt label="Id of the plan" path={["id"]} />
        <TextAt label="Revision" path={["revision"]} />
        <SelectAt label="Kind of tool" path={["tool", "kind"]} options={kinds} />
      </div>
      <details>
        <summary>The tool's data, for formulas</summary>
        <DataFields />
      </details>
      <details>
        <summary>Probe points</summary>
        <PointFields />
      </details>
    </div>
  );
}

function DataFields() {
  const { plan, set } = useEdit();
  const data = getAt(plan, ["tool", "data"]);
  const names = isObject(data) ? Object.keys(data) : [];
  return (
    <div className="form">
      {names.map((name) => (
        <div className="row" key={name}>
          <span className="mono">{name}</span>
          <TextAt label="What it is" path={["tool", "data", name, "label"]} />
          <TextAt label="Unit" path={["tool", "data", name, "unit"]} />
          <NumberAt label="Usually" path={["tool", "data", name, "default"]} />
          <button
            className="button small"
            type="button"
            onClick={() => set(["tool", "data", name], undefined)}
          >
            Remove
          </button>
        </div>
      ))}
      <AddName
        label="New name for formulas"
        onAdd={(name) => set(["tool", "data", name], { label: name, unit: "", default: 0 })}
      />
      <Said path={["tool", "data"]} inside />
    </div>
  );
}

function AddName({
  label,
  onAdd,
}: {
  readonly label: string;
  readonly onAdd: (name: string) => void;
}) {
  return (
    <form
      className="row"
      onSubmit={(event) => {
        event.preventDefault();
        const form = event.currentTarget;
        const typed = new FormData(form).get("name");
        if (typeof typed === "string" && typed.trim() !== "") onAdd(typed.trim());
        form.reset();
      }}
    >
      <label className="field">
        <span className="label">{label}</span>
        <input name="name" autoComplete="off" />
      </label>
      <button className="button small" type="submit">
        Add
      </button>
    </form>
  );
}

function PointFields() {
  const { plan, set } = useEdit();
  const points = listAt(plan, ["points"]);
  const bare: JsonObject = { id: `point-${points.length + 1}`, label: "", part: "" };
  return (
    <div className="form">
      {points.map((_point: Json, at) => (
        <div className="row" key={at}>
          <TextAt label="Id" path={["points", at, "id"]} />
          <TextAt label="Where, in words" path={["points", at, "label"]} />
          <TextAt label="Part" path={["points", at, "part"]} />
          <CheckAt label="Live by itself" path={["points", at, "source"]} />
          <button
            className="button small"
            type="button"
            onClick={() => set(["points", at], undefined)}
          >
            Remove
          </button>
        </div>
      ))}
      <div>
        <button
          className="button small"
          type="button"
          onClick={() => set(["points"], [...points, bare])}
        >
          One more point
        </button>
      </div>
      <Said path={["points"]} />
    </div>
  );
}
