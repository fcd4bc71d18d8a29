import { useEffect, useRef, useState } from "react";
import type { Apart } from "../../workbench/contract/events.js";
import { TextField } from "../desk/field.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { PhotoRow } from "./photo-row.js";

export interface Noted {
  readonly what: string;
  readonly from: string;
  readonly fasteners: number;
  readonly fastenerKind: string;
}

interface Props {
  readonly job: string;
  readonly step: string;
  readonly item: number;
  /** What stands there at first: the plan's word, or what was noted before. */
  readonly first: Noted;
  readonly apart: Apart;
  /** Takes it off the list; null where the plan expects it. */
  readonly onWithdraw: (() => void) | null;
}

/** What came off, from where, with how many screws: kept as it is typed, with photos. */
export function RemovalFields({ job, step, item, first, apart, onWithdraw }: Props) {
  const { client } = useBench();
  const act = useAction();
  const [noted, setNoted] = useState(first);
  const note = useKept((now: Noted) => {
    if (now.what.trim() === "") return;
    act(client.call("noteRemoval", { job, step, item, ...now, withdrawn: false }));
  });
  const change = (part: Partial<Noted>): void => {
    const next = { ...noted, ...part };
    setNoted(next);
    note(next);
  };
  const entry = apart.order.find((each) => each.step === step && each.item === item);
  return (
    <fieldset className="removal" data-testid="removal">
      <legend className="unseen">What came off, {item + 1}</legend>
      <div className="removal-fields">
        <TextField
          label="What came off"
          name={`what-${item}`}
          value={noted.what}
          onChange={(what) => change({ what })}
        />
        <TextField
          label="From where"
          name={`from-${item}`}
          value={noted.from}
          onChange={(from) => change({ from })}
        />
        <TextField
          label="Screws"
          name={`fasteners-${item}`}
          type="number"
          value={String(noted.fasteners)}
          onChange={(typed) => change({ fasteners: countOf(typed) })}
        />
        <TextField
          label="Of which kind"
          name={`kind-${item}`}
          value={noted.fastenerKind}
          onChange={(fastenerKind) => change({ fastenerKind })}
        />
      </div>
      <PhotoRow
        job={job}
        of={{ step, item }}
        caption={noted.what === "" ? "What came off" : noted.what}
        photos={entry?.photos ?? []}
      >
        {onWithdraw && (
          <button className="button small" type="button" onClick={onWithdraw}>
            It did not come off
          </button>
        )}
      </PhotoRow>
    </fieldset>
  );
}

function countOf(typed: string): number {
  return Math.min(999, Math.max(0, Math.round(Number(typed)) || 0));
}

/** Long enough that a word is typed to its end. */
const PAUSE_MS = 500;

/** Keeps a value a moment after it was changed, and at the latest when the form goes away. */
function useKept<T>(keep: (value: T) => void): (value: T) => void {
  const waiting = useRef<{ readonly value: T; readonly timer: number } | null>(null);
  const newest = useRef(keep);
  useEffect(() => {
    newest.current = keep;
  });
  const flush = (): void => {
    const { current } = waiting;
    waiting.current = null;
    if (current === null) return;
    clearTimeout(current.timer);
    newest.current(current.value);
  };
  useEffect(() => flush, []);
  return (value) => {
    if (waiting.current !== null) clearTimeout(waiting.current.timer);
    waiting.current = { value, timer: window.setTimeout(flush, PAUSE_MS) };
  };
}
