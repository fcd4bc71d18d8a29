import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { SkipButton } from "./skip-dialog.js";
import { StepsButton } from "./steps-dialog.js";

/** What a person may do to the order of the plan; none of it is needed to run one. */
export function StepTools() {
  const { client } = useBench();
  const act = useAction();
  const canRepeat = useCan("repeat");
  const canSkip = useCan("skip");
  const last = useBenchSlice((state) => state.last);
  return (
    <div className="step-choices">
      {canSkip && <SkipButton />}
      {canRepeat && last !== null && (
        <button
          className="button small"
          type="button"
          title={last.title}
          onClick={() => act(client.call("repeat", { step: last.result.step }))}
        >
          Repeat the last step
        </button>
      )}
      {canRepeat && <StepsButton />}
    </div>
  );
}
