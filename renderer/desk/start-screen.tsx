import { useState } from "react";
import type { CallResult } from "../../workbench/contract/calls.js";
import { useBench } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useAnswer } from "../store/use-answer.js";
import { Options } from "./options.js";
import { ToolFields, emptyTool } from "./tool-fields.js";

/** Which plan, which meter, which tool; then hands off the keyboard. */
export function StartScreen() {
  const { client } = useBench();
  const act = useAction();
  const plans = useAnswer("listPlans", {});
  const meters = useAnswer("listMeters", {});
  const [plan, setPlan] = useState<string | null>(null);
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const [tool, setTool] = useState(emptyTool);
  const thePlan = plan ?? plans?.[0]?.id ?? null;
  const theMeters = chosen.length > 0 ? chosen : firstMeter(meters);
  const start = (): void => {
    if (thePlan === null) return;
    act(client.call("startRun", { plan: thePlan, meters: [...theMeters], tool }));
  };
  return (
    <main className="desk" data-testid="start-screen">
      <form
        className="desk-sheet form"
        onSubmit={(event) => {
          event.preventDefault();
          start();
        }}
      >
        <h1>New job</h1>
        <Options
          legend="Plan"
          name="plan"
          options={(plans ?? []).map(planOption)}
          chosen={thePlan === null ? [] : [thePlan]}
          onChoose={(ids) => setPlan(ids[0] ?? null)}
        />
        <Options
          legend="Meter"
          name="meter"
          many
          options={(meters ?? []).map(meterOption)}
          chosen={theMeters}
          onChoose={setChosen}
        />
        <ToolFields tool={tool} onChange={setTool} />
        <div>
          <button
            className="button"
            data-kind="main"
            data-testid="start"
            type="submit"
            disabled={thePlan === null || theMeters.length === 0}
          >
            Start the plan
          </button>
        </div>
      </form>
    </main>
  );
}

function firstMeter(meters: CallResult<"listMeters"> | null): readonly string[] {
  const first = meters?.[0];
  return first === undefined ? [] : [first.address];
}

function planOption(plan: CallResult<"listPlans">[number]) {
  return { id: plan.id, title: plan.title, note: `${plan.steps} steps` };
}

function meterOption(meter: CallResult<"listMeters">[number]) {
  return { id: meter.address, title: meter.title, note: meter.note };
}
