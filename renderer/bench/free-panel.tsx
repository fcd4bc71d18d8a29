import { useState } from "react";
import type { FreeStatus } from "../../workbench/contract/events.js";
import { SelectField } from "../desk/field.js";
import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";

/** The plan steps aside and back; what was taken meanwhile counts for the power path. */
export function FreeButton() {
  const { client } = useBench();
  const act = useAction();
  const can = useCan("probeFreely");
  const on = useBenchSlice((state) => state.free?.on === true);
  if (!can) return null;
  return (
    <button
      className="button small"
      type="button"
      aria-pressed={on}
      onClick={() => act(client.call("probeFreely", { on: !on }))}
    >
      {on ? "Back to the plan" : "Probe freely"}
    </button>
  );
}

type Trigger = "released" | "squeezed";

const TRIGGERS: readonly (readonly [string, string])[] = [
  ["", "Not said"],
  ["released", "Released"],
  ["squeezed", "Squeezed"],
];

/** What the probes show, where that may be, and how to say yes or no without a hand. */
export function FreePanel({ free }: { readonly free: FreeStatus }) {
  const { client } = useBench();
  const act = useAction();
  const [trigger, setTrigger] = useState<Trigger | null>(null);
  const declare = (place: number | null, at: Trigger | null): void => {
    act(client.call("declareProbe", { place, trigger: at }));
  };
  return (
    <section className="area-instruction card instruction" data-testid="free-panel">
      <h2 className="label">Probing freely: the plan waits</h2>
      <p className={free.asking ? "prompt" : "words"} role="status" data-testid="free-words">
        {free.words}
      </p>
      <div className="fields">
        <SelectField
          label="The probes go"
          value={free.declared === null ? "" : String(free.declared)}
          options={[
            ["", "where they like: ask me"],
            ...free.places.map(({ id, words }) => [String(id), words] as const),
          ]}
          onChange={(id) => declare(id === "" ? null : Number(id), trigger)}
        />
        <SelectField
          label="Trigger"
          value={trigger ?? ""}
          options={TRIGGERS}
          onChange={(value) => {
            const next = value === "released" || value === "squeezed" ? value : null;
            setTrigger(next);
            declare(free.declared, next);
          }}
        />
      </div>
      {free.taken.length > 0 && (
        <ul className="small" data-testid="free-taken">
          {free.taken.map((words, n) => (
            <li key={`${n} ${words}`}>{words}</li>
          ))}
        </ul>
      )}
    </section>
  );
}
