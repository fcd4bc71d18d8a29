import { useBench, useBenchSlice } from "../store/bench-context.js";
import type { BenchState, Finish } from "../store/state.js";

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
      data-failed={failed ? "yes" : "no"}
      role="status"
    >
      <h2 className="label">
        {finish !== null || ended === "finished" ? "Plan finished" : "Plan ended early"}
      </h2>
      <p className="conclusion" data-testid="conclusion">
        {finish === null ? endWords(ended) : finish.conclusion}
      </p>
      {finish !== null && <p>{countsWords(finish)}</p>}
      <p className="small">Job folder: {folder}</p>
      <div className="choices">
        <button className="button" type="button" onClick={() => store.goToDesk()}>
          To the desk
        </button>
      </div>
    </section>
  );
}

const END_WORDS: Readonly<Record<NonNullable<BenchState["ended"]>, string>> = {
  finished: "The plan was run to its end. Working out what it says of the parts.",
  stopped: "The plan was stopped. What was recorded is in the job.",
  "meter-ended": "The meter has no more to tell. What was recorded is in the job.",
  trouble: "Trouble ended the plan. What was recorded is in the job.",
};

function endWords(ended: BenchState["ended"]): string {
  return ended === null ? "" : END_WORDS[ended];
}

function countsWords({ passed, failed, other }: Finish): string {
  const undecided = other === 0 ? "" : `, ${other} without a clear verdict`;
  return `${passed} passed, ${failed} failed${undecided}.`;
}
