import { useState } from "react";
import { useAnswer } from "../store/use-answer.js";
import { PlanEditor } from "../plan-edit/plan-editor.js";
import { useRemembered } from "./where.js";

/** All plans; one is opened in the editor. */
export function PlansScreen() {
  const [turn, setTurn] = useState(0);
  const [open, setOpen] = useRemembered<string | null>("plan", null);
  const leave = (): void => {
    setOpen(null);
    setTurn(turn + 1);
  };
  if (open !== null) return <PlanEditor plan={open} onBack={leave} />;
  return <PlanList key={turn} onOpen={setOpen} />;
}

function PlanList({ onOpen }: { readonly onOpen: (plan: string) => void }) {
  const plans = useAnswer("listPlans", {});
  return (
    <div className="form">
      <h1>Plans</h1>
      <table className="list">
        <thead>
          <tr>
            <th scope="col">Plan</th>
            <th scope="col">Kind of tool</th>
            <th scope="col" className="number">
              Steps
            </th>
          </tr>
        </thead>
        <tbody>
          {(plans ?? []).map(({ id, title, kind, steps }) => (
            <tr key={id} data-testid="plan-row">
              <td>
                <button className="link" type="button" onClick={() => onOpen(id)}>
                  {title}
                </button>
                {id.includes("/") && <span className="small"> the shop's own</span>}
              </td>
              <td>{kind}</td>
              <td className="number">{steps}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
