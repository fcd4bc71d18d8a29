import type { FreeStatus } from "../../workbench/contract/events.js";
import { SelectField } from "../desk/field.js";
import { useBench } from "../store/bench-context.js";
import { Cautions } from "./cautions.js";
import { useAction } from "../store/use-action.js";

/** What the probes show, where that may be, and how to say yes or no without a hand. */
export function FreePanel({ free }: { readonly free: FreeStatus }) {
  const { client } = useBench();
  const act = useAction();
  return (
    <section className="area-instruction card instruction" data-testid="free-panel">
      <Cautions cautions={free.cautions} />
      <h2 className="label">Probing freely</h2>
      <p className={free.asking ? "prompt" : "words"} role="status" data-testid="free-words">
        {free.words}
      </p>
      {free.matches.length > 0 && <Matches matches={free.matches} />}
      {!free.asking && <Next next={free.next} />}
      <SelectField
        label="Or say first where the probes go"
        value={free.declared === null ? "" : String(free.declared)}
        options={[
          ["", "Not said: ask me"],
          ...free.places.map(({ id, words }) => [String(id), words] as const),
        ]}
        onChange={(id) =>
          act(client.call("declareProbe", { place: id === "" ? null : Number(id) }))
        }
      />
      {free.taken.length > 0 && <Taken taken={free.taken} />}
    </section>
  );
}

/** The place that is asked for, and those that come after a no. */
function Matches({ matches }: Pick<FreeStatus, "matches">) {
  return (
    <ol className="matches" data-testid="free-matches">
      {matches.map(({ words, odds }, at) => (
        <li key={words} aria-current={at === 0 ? "true" : undefined}>
          <span className="figures">{odds}</span> {words}
        </li>
      ))}
    </ol>
  );
}

function Next({ next }: Pick<FreeStatus, "next">) {
  return (
    <p className="small" data-testid="free-next">
      {next === null
        ? "Nothing more has to be known. HOLD, on and off, with nothing on the probes: the proposal goes on and ends the plan."
        : `It would tell most: ${next}`}
    </p>
  );
}

/** The newest first. */
function Taken({ taken }: Pick<FreeStatus, "taken">) {
  return (
    <ul className="small taken" data-testid="free-taken" aria-label="Recorded">
      {taken.map((words, n) => <li key={`${n} ${words}`}>{words}</li>).reverse()}
    </ul>
  );
}
