import { useState } from "react";
import type { ChangeEvent } from "react";
import type { ErrorReport } from "../../workbench/contract/events.js";
import type { JobParts } from "../../workbench/contract/parts-calls.js";
import { toReport } from "../client/fault.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { saveText } from "./save-text.js";

interface Props {
  readonly kind: string;
  readonly prices: JobParts["prices"];
  readonly onImported: () => void;
}

/** The shop's own prices: a CSV file for each kind of tool. A wrong one is told with its place. */
export function PriceImport({ kind, prices, onImported }: Props) {
  const { client } = useBench();
  const act = useAction();
  const [wrong, setWrong] = useState<ErrorReport | null>(null);
  const take = async (csv: string): Promise<void> => {
    try {
      await client.call("importPrices", { kind, csv });
      setWrong(null);
      onImported();
    } catch (thrown) {
      setWrong(toReport(thrown));
    }
  };
  const choose = (event: ChangeEvent<HTMLInputElement>): void => {
    const [file] = event.target.files ?? [];
    // So that the same file, corrected, can be chosen again.
    event.target.value = "";
    if (file) act(file.text().then(take));
  };
  const demo = async (): Promise<void> => take((await client.call("demoPrices", { kind })).csv);
  const example = async (): Promise<void> => {
    const { name, csv } = await client.call("demoPrices", { kind });
    saveText(name, csv, "text/csv");
  };
  return (
    <div className="form" data-testid="price-import">
      <p className="small">
        {prices === null
          ? "No prices yet for this kind of tool."
          : `Prices: ${prices.items} items in ${prices.currency}.`}{" "}
        A price list is a CSV file with the columns number, label, covers, price, currency, fit_min.
      </p>
      <label className="field">
        <span className="label">Import a price list</span>
        <input type="file" accept=".csv,text/csv" data-testid="price-input" onChange={choose} />
      </label>
      <div className="choices">
        <button className="button" type="button" onClick={() => act(example())}>
          Save an invented example
        </button>
        {prices === null && (
          <button className="button" type="button" onClick={() => act(demo())}>
            Try with invented prices
          </button>
        )}
      </div>
      {wrong && (
        <p role="alert" data-testid="price-error">
          {wrong.what} {wrong.action} <span className="small">[{wrong.code}]</span>
        </p>
      )}
    </div>
  );
}
