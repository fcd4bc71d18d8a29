import { useBench, useBenchSlice } from "../store/bench-context.js";
import type { BenchState, Finish } from "../store/state.js";
import { leftOutGroups } from "../view/left-out.js";
import { END_WORDS } from "../view/end-words.js";

/** The end of a run: what it found, or why there is no more of it. */
export function FinishCard() {
  const { store } = useBench();
  const finish = useBenchSlice((state) => state.finish);
  const ended = useBenchSlice((state) => state.ended);
  const folder = useBenchSlice((state) => state.run?.jobFolder ?? "");
  const failed = useBenchSlice(({ ledger }) =>
    ledger.some(({ result }) => result.verdict === "fail"),
  );
  return (
    <section
      className="area-verdict card finish-card"
      data-testid="finish-card"
      data-outcome={failed ? "failed" : finish === null ? "open" : "done"}
      role="status"
    >
      <h2 className="label">
        {finish !== null || ended === "finished" ? "Plan finished" : "Plan ended early"}
      </h2>
      <p className="conclusion" data-testid="conclusion">
        {finish === null ? endWords(ended) : finish.conclusion}
      </p>
      {finish !== null && <p>{countsWords(finish)}</p>}
      <LeftOut />
      <p className="small">Job folder: {folder}</p>
      <div className="choices">
        <button className="button" type="button" onClick={() => store.goToDesk()}>
          To the desk
        </button>
      </div>
    </section>
  );
}

/** What was not measured because nothing more was to be learnt, and why. */
function LeftOut() {
  const ledger = useBenchSlice((state) => state.ledger);
  const groups = leftOutGroups(ledger);
  if (groups.length === 0) return null;
  return (
    <ul className="small" data-testid="left-out">
      {groups.map(({ reason, titles }) => (
        <li key={reason}>
          Left out, because {reason}: {titles.join("; ")}.
        </li>
      ))}
    </ul>
  );
}

function endWords(ended: BenchState["ended"]): string {
  return ended === null ? "" : END_WORDS[ended];
}

function countsWords({ passed, failed, other }: Finish): string {
  const undecided = other === 0 ? "" : `, ${other} without a clear verdict`;
  return `${passed} passed, ${failed} failed${undecided}.`;
}
