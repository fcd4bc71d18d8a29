import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useAnswer } from "../store/use-answer.js";
import { MeterForm } from "./meter-form.js";
import { emptyMeter, meterFormOf } from "./meter-text.js";
import type { MeterFormData } from "./meter-text.js";

/** The shop's meters with the accuracy that their manuals state. */
export function MetersScreen() {
  const [turn, setTurn] = useState(0);
  const [open, setOpen] = useState<MeterFormData | null>(null);
  const leave = (): void => {
    setOpen(null);
    setTurn(turn + 1);
  };
  if (open !== null) return <MeterForm meter={open} onDone={leave} />;
  return <MeterList key={turn} onOpen={setOpen} />;
}

function MeterList({ onOpen }: { readonly onOpen: (meter: MeterFormData) => void }) {
  const tables = useAnswer("listTables", {});
  return (
    <div className="form">
      <h1>Meters</h1>
      <p>
        The accuracy table of a meter, entered once from its manual, gives every reading its
        uncertainty and every verdict its risk.
      </p>
      {tables?.length === 0 && <p>No table yet.</p>}
      {tables !== null && tables.length > 0 && (
        <table className="list">
          <thead>
            <tr>
              <th scope="col">Meter</th>
              <th scope="col">Calibrated</th>
              <th scope="col">Holds until</th>
              <th scope="col">Lines</th>
            </tr>
          </thead>
          <tbody>
            {tables.map((table) => (
              <tr key={table.meter}>
                <td>
                  <button className="link" type="button" onClick={() => onOpen(meterFormOf(table))}>
                    {table.meter}
                  </button>
                </td>
                <td>{table.calibrated ?? "not known"}</td>
                <td>{holdsWords(table)}</td>
                <td>{table.lines.length}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <div>
        <button className="button" type="button" onClick={() => onOpen(emptyMeter)}>
          Enter a meter
        </button>
      </div>
    </div>
  );
}

function holdsWords({
  calibratedUntil,
  outOfCalibration,
}: CallResult<"listTables">[number]): string {
  if (calibratedUntil === null) return "not known";
  return outOfCalibration ? `${calibratedUntil}: out of calibration` : calibratedUntil;
}
