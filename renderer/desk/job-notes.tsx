import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { TextField } from "./field.js";

interface Props {
  readonly job: string;
  readonly notes: CallResult<"readJob">["notes"];
  readonly onAdded: () => void;
}

/** Notes stand in the journal, in the order they were written; none can be changed. */
export function JobNotes({ job, notes, onAdded }: Props) {
  const { client } = useBench();
  const act = useAction();
  const canAdd = useCan("addNote");
  const [words, setWords] = useState("");
  const add = (): void => {
    const request = client.call("addNote", { job, words: words.trim() });
    act(
      request.then(() => {
        setWords("");
        onAdded();
      }),
    );
  };
  return (
    <section className="form" aria-label="Notes">
      <h2>Notes</h2>
      {notes.length > 0 && (
        <ul data-testid="notes">
          {notes.map(({ time_s, words: said }) => (
            <li key={time_s}>{said}</li>
          ))}
        </ul>
      )}
      {canAdd && (
        <form
          className="with-button"
          onSubmit={(event) => {
            event.preventDefault();
            add();
          }}
        >
          <TextField label="Add a note" name="note" value={words} onChange={setWords} />
          <button className="button" type="submit" disabled={words.trim() === ""}>
            Add the note
          </button>
        </form>
      )}
    </section>
  );
}
