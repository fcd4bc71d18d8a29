import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { TextField } from "./field.js";

interface Props {
  readonly job: string;
  readonly deletion: CallResult<"readJob">["deletion"];
  readonly onDeleted: () => void;
}

/** Deleting: folded away, says what is lost, and asks for the serial number. */
export function DeleteForm({ job, deletion: { confirm, words }, onDeleted }: Props) {
  const { client } = useBench();
  const act = useAction();
  const [typed, setTyped] = useState("");
  return (
    <details className="card" data-testid="delete-form">
      <summary>Delete this job</summary>
      <form
        className="form"
        onSubmit={(event) => {
          event.preventDefault();
          act(client.call("deleteJob", { job, confirm: typed }).then(onDeleted));
        }}
      >
        <p>{words}</p>
        <p>To only put it out of the way, archive it.</p>
        <div className="with-button">
          <TextField
            label={`Type ${confirm} to confirm`}
            name="confirm"
            value={typed}
            onChange={setTyped}
          />
          <button className="button" data-kind="fault" type="submit" disabled={typed !== confirm}>
            Delete for good
          </button>
        </div>
      </form>
    </details>
  );
}
