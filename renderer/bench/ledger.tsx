import { useBenchSlice } from "../store/bench-context.js";
import { outlineOf } from "../store/outline.js";
import type { Recorded } from "../store/state.js";
import { foundWords, isMeasured, remarks } from "../view/verdict-words.js";
import { VerdictWord } from "./verdict-word.js";

/** What is on disk, the newest first. */
export function Ledger() {
  const ledger = useBenchSlice((state) => state.ledger);
  return (
    <section className="area-ledger card ledger" aria-label="Recorded steps" tabIndex={0}>
      <h2 className="label">Recorded</h2>
      {ledger.length === 0 ? <p className="small">Nothing yet.</p> : <Rows ledger={ledger} />}
    </section>
  );
}

function Rows({ ledger }: { readonly ledger: readonly Recorded[] }) {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Step</th>
          <th scope="col" className="found">
            Found, verdict
          </th>
        </tr>
      </thead>
      <tbody>{ledger.map((recorded, at) => <Row recorded={recorded} key={at} />).reverse()}</tbody>
    </table>
  );
}

function Row({ recorded: { result, title } }: { readonly recorded: Recorded }) {
  const said = remarks(result);
  const kind = useBenchSlice(({ run }) => outlineOf(run, result.step)?.kind);
  return (
    <tr data-testid="ledger-row" data-step={result.step} data-verdict={result.verdict}>
      <td>
        {title}
        {said.length > 0 && <div className="small">{said.join("; ")}</div>}
      </td>
      <td className="found">
        <VerdictWord result={result} kind={kind} />
        {isMeasured(result) && <div>{foundWords(result)}</div>}
      </td>
    </tr>
  );
}
