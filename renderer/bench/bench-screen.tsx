import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { useStepOutline } from "../store/use-step.js";
import type { BenchState } from "../store/state.js";
import type { StepOutline } from "../../workbench/contract/events.js";
import { ApartButton, ClosingPanel } from "../apart/apart-dialog.js";
import { RemovalPanel } from "../apart/removal-panel.js";
import { toolName } from "../desk/words.js";
import { FailCard } from "./fail-card.js";
import { FinishCard } from "./finish-card.js";
import { OrderSwitch } from "../order/order-switch.js";
import { FreePanel } from "./free-panel.js";
import { Instruction } from "./instruction.js";
import { Ledger } from "./ledger.js";
import { LivePlot } from "./live-plot.js";
import { PowerPath } from "./power-path.js";
import { Readings } from "./reading.js";
import { SettlingBand } from "./settling-band.js";
import { StepScale } from "./step-scale.js";

type Layout = "running" | "failed" | "finished";

/** What happened last decides how the bench is laid out. */
function layoutOf({ last, finish, ended, free }: BenchState): Layout {
  if (finish !== null || ended !== null) return "finished";
  // A failed step gives way to the next contact, and free probing is all contact.
  if (free?.on === true) return "running";
  return last?.result.verdict === "fail" ? "failed" : "running";
}

export function BenchScreen() {
  const layout = useBenchSlice(layoutOf);
  const last = useBenchSlice((state) => state.last);
  const outline = useStepOutline();
  const measuring = outline?.kind === "measure";
  const free = useBenchSlice((state) => (state.free?.on === true ? state.free : null));
  const isFree = free !== null && layout === "running";
  const apart = layout !== "finished" && free === null ? apartOf(outline) : null;
  return (
    <div
      className="bench"
      data-layout={layout}
      data-measuring={measuring && free === null ? "yes" : "no"}
      data-apart={apart === null ? "no" : "yes"}
      data-free={isFree ? "yes" : "no"}
      data-testid="bench"
    >
      <Top />
      <PowerPath />
      <main className="bench-main">
        <Readings />
        {layout === "failed" && last !== null && <FailCard last={last} brief={apart !== null} />}
        {layout === "finished" && <FinishCard />}
        {layout !== "finished" && (free === null ? <Instruction /> : <FreePanel free={free} />)}
        {layout === "running" && measuring && free === null && <SettlingBand />}
        {layout === "running" && measuring && free === null && <StepScale />}
        {layout === "running" && apart === null && <LivePlot />}
        {layout !== "failed" && apart === null && !isFree && <Ledger />}
        {apart === "closing" && <ClosingPanel />}
        {apart === "taking-off" && outline !== null && <RemovalPanel outline={outline} />}
      </main>
    </div>
  );
}

/** Whether something comes off in this step, or goes back on. */
function apartOf(outline: StepOutline | null): "taking-off" | "closing" | null {
  if (outline?.kind !== "do") return null;
  if (outline.closing) return "closing";
  return outline.removes === null ? null : "taking-off";
}

function Top() {
  const { client } = useBench();
  const act = useAction();
  const canStop = useCan("stopRun");
  const run = useBenchSlice((state) => state.run);
  const running = useBenchSlice((state) => layoutOf(state) !== "finished");
  if (run === null) return null;
  return (
    <header className="bench-top">
      <h1>{toolName(run)}</h1>
      <span className="small plan-title" title={run.plan.title}>
        {run.plan.title}
      </span>
      {run.practice && <span className="small practice-mark">Practice: simulated tool</span>}
      <span className="push" />
      {running && <OrderSwitch />}
      <ApartButton />
      {canStop && running && (
        <button
          className="button small"
          type="button"
          onClick={() => act(client.call("stopRun", {}))}
        >
          Stop the plan
        </button>
      )}
    </header>
  );
}
