import type { JobParts } from "../../workbench/contract/parts-calls.js";
import { listText, moneyText } from "../view/parts-view.js";
import { saveText } from "./save-text.js";

type Decision = NonNullable<JobParts["decision"]>;

interface Props {
  readonly answer: JobParts;
  readonly decision: Decision;
}

/** Repair and replacement side by side, with what is assumed. */
export function PartsDecision({ answer, decision }: Props) {
  const { partsList } = answer;
  const nothing = (decision.repair?.items.length ?? 0) === 0;
  return (
    <>
      {decision.warranty && (
        <p data-testid="warranty">
          <b>{decision.warranty.words}</b>
        </p>
      )}
      <div className="side-by-side">
        <Repair answer={answer} decision={decision} />
        <Replace decision={decision} />
      </div>
      <ul className="small">
        {decision.assumptions.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      {partsList && !nothing && (
        <div>
          <button
            className="button"
            type="button"
            onClick={() => saveText(partsList.name, partsList.csv, "text/csv")}
          >
            Save the parts list (CSV)
          </button>
        </div>
      )}
    </>
  );
}

function Repair({ answer, decision }: Props) {
  const { repair, currency, suspects, cheaper } = decision;
  const label = (id: string): string =>
    answer.finding?.parts.find((part) => part.id === id)?.label ?? id;
  return (
    <section className="option-card" aria-label="Repair" data-cheaper={yesNo(cheaper === "repair")}>
      <h3>Repair {cheaper === "repair" && <Cheaper />}</h3>
      {suspects.length === 0 && <p>Nothing to replace at these odds.</p>}
      {repair === null && (
        <p>
          The price list has nothing for {listText(decision.uncovered.map(label))}. Add it to the
          list and import it again.
        </p>
      )}
      {repair !== null && suspects.length > 0 && (
        <>
          <p className="total">{moneyText(repair.total, currency)}</p>
          <table className="list">
            <thead>
              <tr>
                <th scope="col">Item</th>
                <th scope="col">Replaces</th>
                <th scope="col">Price, {currency}</th>
              </tr>
            </thead>
            <tbody>
              {repair.items.map((item) => (
                <tr key={item.number}>
                  <td>
                    {item.label} <span className="small">{item.number}</span>
                  </td>
                  <td>{listText(item.covers.map(label))}</td>
                  <td className="number">{item.price.toFixed(2)}</td>
                </tr>
              ))}
              <tr>
                <td colSpan={2}>Labour, {repair.labour_min} min</td>
                <td className="number">{repair.labour_cost.toFixed(2)}</td>
              </tr>
            </tbody>
          </table>
        </>
      )}
    </section>
  );
}

function Replace({ decision: { replace, currency, cheaper } }: { readonly decision: Decision }) {
  return (
    <section
      className="option-card"
      aria-label="Replacement"
      data-cheaper={yesNo(cheaper === "replace")}
    >
      <h3>Replacement {cheaper === "replace" && <Cheaper />}</h3>
      {replace === null ? (
        <p>Say above what a new tool costs.</p>
      ) : (
        <p className="total">{moneyText(replace.total, currency)}</p>
      )}
    </section>
  );
}

function Cheaper() {
  return <span className="cheaper">cheaper</span>;
}

function yesNo(yes: boolean): "yes" | "no" {
  return yes ? "yes" : "no";
}
