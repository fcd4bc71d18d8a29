import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import type { Finish } from "../store/state.js";
import { useAction } from "../store/use-action.js";

export function FinishCard({ finish }: { readonly finish: Finish }) {
  const { client } = useBench();
  const act = useAction();
  const canStop = useCan("stopRun");
  const folder = useBenchSlice((state) => state.run?.jobFolder ?? "");
  return (
    <section
      className="area-verdict card finish-card"
      data-testid="finish-card"
      data-failed={finish.failed > 0 ? "yes" : "no"}
      role="status"
    >
      <h2 className="label">Plan finished</h2>
      <p className="conclusion" data-testid="conclusion">
        {finish.conclusion}
      </p>
      <p>{countsWords(finish)}</p>
      <p className="small">Job folder: {folder}</p>
      {canStop && (
        <div className="choices">
          <button className="button" type="button" onClick={() => act(client.call("stopRun", {}))}>
            Close this run
          </button>
        </div>
      )}
    </section>
  );
}

function countsWords({ passed, failed, other }: Finish): string {
  const undecided = other === 0 ? "" : `, ${other} without a clear verdict`;
  return `${passed} passed, ${failed} failed${undecided}.`;
}
