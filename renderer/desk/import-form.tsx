import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { TextField } from "./field.js";

/** Takes jobs from a folder of another bench: a stick, a share, a copy. */
export function ImportForm({ onDone }: { readonly onDone: () => void }) {
  const { client } = useBench();
  const act = useAction();
  const [from, setFrom] = useState("");
  const [busy, setBusy] = useState(false);
  const [imported, setImported] = useState<CallResult<"importJobs"> | null>(null);
  const take = (): void => {
    setBusy(true);
    const request = client.call("importJobs", { from: from.trim() }).then((result) => {
      setImported(result);
      onDone();
    });
    act(request.finally(() => setBusy(false)));
  };
  return (
    <form
      className="card form"
      data-testid="import-form"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <h2>Import from another bench</h2>
      <p className="small">
        One job, or a folder that holds several. They are copied; the originals stay where they are.
      </p>
      <div className="with-button">
        <TextField label="Folder" name="import" value={from} onChange={setFrom} />
        <button className="button" type="submit" disabled={busy || from.trim() === ""}>
          {busy ? "Copying" : "Import"}
        </button>
      </div>
      {imported && (
        <div role="status" data-testid="imported">
          <ul>
            {imported.map((each) => (
              <li key={each.from}>
                {each.job === null ? (
                  <>
                    <b>Not taken:</b> {each.why}
                  </>
                ) : (
                  <>
                    <b>Taken:</b> {each.from}
                    {each.from.endsWith(each.job) ? "" : `, as ${each.job}`}
                  </>
                )}
              </li>
            ))}
          </ul>
        </div>
      )}
    </form>
  );
}
