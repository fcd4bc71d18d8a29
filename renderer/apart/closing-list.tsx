import { useState } from "react";
import type { Apart, ApartItem } from "../../workbench/contract/events.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { PhotoRow } from "./photo-row.js";

interface Props {
  readonly job: string;
  readonly apart: Apart;
  /** The list as it is after a change; where the bench tells it anyway, nothing. */
  readonly onChange?: (apart: Apart) => void;
}

/** The way back: last off, first on; how many screws went in, and what is left over. */
export function ClosingList({ job, apart, onChange }: Props) {
  if (apart.order.length === 0) return <p>Nothing was taken off.</p>;
  const whole = apart.partsLeft === 0 && Object.keys(apart.leftOver).length === 0;
  return (
    <div className="closing" data-testid="closing-list">
      <p className="closing-count" data-whole={whole ? "yes" : "no"} role="status">
        {apart.words}
      </p>
      <ol>
        {apart.order.map((entry) => (
          <Entry
            key={`${entry.step} ${entry.item}`}
            job={job}
            entry={entry}
            onChange={onChange ?? (() => undefined)}
          />
        ))}
      </ol>
    </div>
  );
}

interface EntryProps {
  readonly job: string;
  readonly entry: ApartItem;
  readonly onChange: (apart: Apart) => void;
}

function Entry({ job, entry, onChange }: EntryProps) {
  const { client } = useBench();
  const act = useAction();
  const can = useCan("putBack");
  const { step, item, what, back } = entry;
  const put = (fasteners: number | null): void =>
    act(client.call("putBack", { job, step, item, fasteners }).then(onChange));
  return (
    <li className="closing-entry" data-testid="closing-entry" data-back={back ? "yes" : "no"}>
      <div className="closing-words">
        <span>{entry.words}</span>
        {back && <span className="small">{backWords(entry)}</span>}
      </div>
      {can && back === null && <BackOn entry={entry} onBack={put} />}
      {can && back !== null && (
        <button
          className="button small"
          type="button"
          aria-label={`Off again: ${what}`}
          onClick={() => put(null)}
        >
          Off again
        </button>
      )}
      {entry.photos.length > 0 && (
        <PhotoRow job={job} of={{ step, item }} caption={what} photos={entry.photos} />
      )}
    </li>
  );
}

function backWords({ back, fasteners }: ApartItem): string {
  if (back === null) return "";
  if (!back.counted) return "Back by the word of the step; not counted.";
  return fasteners === 0 ? "Back." : `Back with ${back.fasteners} of ${fasteners}.`;
}

interface BackOnProps {
  readonly entry: ApartItem;
  readonly onBack: (fasteners: number) => void;
}

function BackOn({ entry, onBack }: BackOnProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const shown = typed ?? String(entry.fasteners);
  return (
    <div className="back-on">
      {entry.fasteners > 0 && (
        <label>
          <span className="unseen">Screws that went in: {entry.what}</span>
          <input
            type="number"
            min={0}
            value={shown}
            onChange={(event) => setTyped(event.target.value)}
          />
        </label>
      )}
      <button
        className="button small"
        type="button"
        aria-label={`Back on: ${entry.what}`}
        onClick={() => onBack(Math.min(999, Math.max(0, Math.round(Number(shown)) || 0)))}
      >
        Back on
      </button>
    </div>
  );
}
