import { useState } from "react";
import type { Apart, StepOutline } from "../../workbench/contract/events.js";
import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { RemovalFields } from "./removal-fields.js";
import type { Noted } from "./removal-fields.js";

const BLANK: Noted = { what: "", from: "", fasteners: 0, fastenerKind: "" };

/** While something is taken off: the record of it, begun with what is usual. */
export function RemovalPanel({ outline }: { readonly outline: StepOutline }) {
  const told = useBenchSlice((state) => state.apart);
  const can = useCan("noteRemoval");
  if (told === null || !can) return null;
  return <Removals key={outline.id} outline={outline} job={told.job} apart={told.apart} />;
}

interface Props {
  readonly outline: StepOutline;
  readonly job: string;
  readonly apart: Apart;
}

function Removals({ outline, job, apart }: Props) {
  const { client } = useBench();
  const act = useAction();
  const step = outline.id;
  const noted = (item: number): Noted | null =>
    apart.order.find((each) => each.step === step && each.item === item) ?? null;
  // The list as it was when the panel opened, and what was added since: typing must not move rows.
  const [items, setItems] = useState(() => startItems(outline, apart));
  const withdraw = (item: number) => () => {
    setItems(items.filter((each) => each !== item));
    const before = noted(item);
    if (before === null) return;
    const { what, from, fasteners, fastenerKind } = before;
    const told = { job, step, item, what, from, fasteners, fastenerKind, withdrawn: true };
    act(client.call("noteRemoval", told));
  };
  return (
    <section className="area-apart card apart-panel" aria-label="What comes off">
      <h2 className="label">What comes off: kept in the job as it stands here</h2>
      {items.map((item) => (
        <RemovalFields
          key={item}
          job={job}
          step={step}
          item={item}
          first={pick(noted(item) ?? (item === 0 ? outline.removes : null) ?? BLANK)}
          apart={apart}
          onWithdraw={item === 0 ? null : withdraw(item)}
        />
      ))}
      <div>
        <button
          className="button small"
          type="button"
          onClick={() => setItems([...items, Math.max(0, ...items) + 1])}
        >
          Something else came off
        </button>
      </div>
    </section>
  );
}

function startItems({ id, removes }: StepOutline, apart: Apart): readonly number[] {
  const noted = apart.order.filter(({ step }) => step === id).map(({ item }) => item);
  return [...new Set([...(removes ? [0] : []), ...noted])].sort((a, b) => a - b);
}

function pick({ what, from, fasteners, fastenerKind }: Noted): Noted {
  return { what, from, fasteners, fastenerKind };
}
