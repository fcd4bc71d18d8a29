import { PLAN_CHOICES } from "../../workbench/contract/plan-choices.js";
import { useEdit } from "./edit-context.js";
import { CheckAt, NumberAt, plain, Said, SelectAt, TextAt } from "./fields.js";
import { getAt, isObject, listAt, textAt } from "./json-path.js";
import type { Path } from "./json-path.js";

interface Props {
  readonly path: Path;
}

const SETS = [
  ["pack", "Pack", PLAN_CHOICES.pack],
  ["charger", "Charger", PLAN_CHOICES.charger],
  ["mains", "Mains", PLAN_CHOICES.mains],
  ["motor", "Motor", PLAN_CHOICES.motor],
  ["case", "Case", PLAN_CHOICES.case],
] as const;

/** A `do` step: what it sets up, what comes off, what goes back on. */
export function DoFields({ at, path }: Props & { readonly at: number }) {
  return (
    <>
      <fieldset>
        <legend>Afterwards the tool is</legend>
        <div className="fields narrow">
          {SETS.map(([name, label, words]) => (
            <SelectAt
              key={name}
              label={label}
              path={[...path, "sets", name]}
              options={[["", "as before"], ...plain(words)]}
            />
          ))}
        </div>
      </fieldset>
      <RemovesFields path={[...path, "removes"]} />
      <PutsBack at={at} path={[...path, "putsBack"]} />
    </>
  );
}

function RemovesFields({ path }: Props) {
  const { plan, set } = useEdit();
  const has = isObject(getAt(plan, path));
  const bare = { what: "", from: "", fasteners: 0 };
  return (
    <fieldset className="form">
      <legend>What comes off</legend>
      {has && (
        <div className="fields">
          <TextAt label="What" path={[...path, "what"]} />
          <TextAt label="From where" path={[...path, "from"]} />
          <NumberAt label="Screws" path={[...path, "fasteners"]} />
          <TextAt
            label="Of which kind"
            path={[...path, "fastenerKind"]}
            read={(typed) => (typed === "" ? undefined : typed)}
          />
        </div>
      )}
      <div>
        <button
          className="button small"
          type="button"
          onClick={() => set(path, has ? undefined : bare)}
        >
          {has ? "Nothing comes off" : "Something comes off"}
        </button>
      </div>
    </fieldset>
  );
}

/** Earlier steps that take something off: which of them are undone here. */
function PutsBack({ at, path }: Props & { readonly at: number }) {
  const { plan, set } = useEdit();
  const chosen = listAt(plan, path);
  const earlier = listAt(plan, ["steps"])
    .slice(0, at)
    .filter((step) => isObject(getAt(step, ["removes"])));
  if (earlier.length === 0 && chosen.length === 0) return null;
  return (
    <fieldset>
      <legend>What goes back on</legend>
      {earlier.map((step) => {
        const id = textAt(step, ["id"]);
        return (
          <label className="check" key={id}>
            <input
              type="checkbox"
              checked={chosen.includes(id)}
              onChange={(event) =>
                set(
                  path,
                  event.target.checked ? [...chosen, id] : chosen.filter((each) => each !== id),
                )
              }
            />
            {textAt(step, ["removes", "what"])}
          </label>
        );
      })}
      <Said path={path} inside />
    </fieldset>
  );
}

/** A `look` step: its answers. */
export function LookFields({ path }: Props) {
  const { plan, set } = useEdit();
  const choices: Path = [...path, "choices"];
  const list = listAt(plan, choices);
  return (
    <fieldset className="form">
      <legend>Answers</legend>
      {list.map((_choice, n) => (
        <div className="row" key={n}>
          <TextAt label="Answer" path={[...choices, n, "label"]} />
          <TextAt label="Id" path={[...choices, n, "id"]} />
          <SelectAt
            label="Means"
            path={[...choices, n, "verdict"]}
            options={plain(PLAN_CHOICES.answer)}
          />
          <button
            className="button small"
            type="button"
            onClick={() => set([...choices, n], undefined)}
          >
            Remove
          </button>
        </div>
      ))}
      <Said path={choices} />
      <div>
        <button
          className="button small"
          type="button"
          onClick={() =>
            set(choices, [
              ...list,
              { id: `answer-${list.length + 1}`, label: "", verdict: "not-judged" },
            ])
          }
        >
          One more answer
        </button>
      </div>
      <CheckAt label="A photo belongs to it" path={[...path, "photo"]} />
    </fieldset>
  );
}

export function WaitFields({ path }: Props) {
  return (
    <div className="fields">
      <NumberAt label="How long, seconds" path={[...path, "duration_s"]} />
    </div>
  );
}
