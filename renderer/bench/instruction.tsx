import type { StepOutline } from "../../workbench/contract/events.js";
import { useBench, useBenchSlice, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { Cautions } from "./cautions.js";
import { StepTools } from "./step-tools.js";
import { useStepOutline } from "../store/use-step.js";

/** One instruction: what to touch where, under which condition; cautions above it. */
export function Instruction() {
  const step = useBenchSlice((state) => state.step);
  const count = useBenchSlice((state) => state.run?.steps.length ?? 0);
  const outline = useStepOutline();
  if (step === null || outline === null) {
    return (
      <section className="area-instruction card instruction" aria-label="Instruction">
        <p className="words">Waiting for the bench to begin the plan.</p>
      </section>
    );
  }
  const { prompt } = step;
  // How to say yes is not what is to be done: it stands below.
  const isAnswer = prompt?.kind === "confirm" || prompt?.kind === "choose";
  const asked = prompt !== null && !isAnswer;
  return (
    <section className="area-instruction card instruction" aria-label="Instruction">
      <Cautions cautions={step.cautions} />
      <div className="step-head">
        <h2 className="label">
          {step.why === null ? "Step" : "Proposed: step"} {step.index + 1} of {count}:{" "}
          <span data-testid="step-title">{outline.title}</span>
        </h2>
        <StepTools />
      </div>
      {asked && (
        <p className="prompt" role="alert" data-testid="prompt" data-kind={prompt.kind}>
          {prompt.words}
        </p>
      )}
      <p className="words" data-second={asked ? "yes" : "no"}>
        {step.instruction}
      </p>
      {isAnswer && (
        <p className="small" data-testid="prompt" data-kind={prompt.kind}>
          {prompt.words}
        </p>
      )}
      {step.why !== null && step.why.words !== "" && (
        <p className="small" data-testid="why">
          {step.why.words}
        </p>
      )}
      <Leads outline={outline} />
      <Choices outline={outline} />
    </section>
  );
}

function Leads({ outline }: { readonly outline: StepOutline }) {
  if (outline.red === null && outline.black === null) return null;
  return (
    <dl className="leads">
      <div>
        <dt>Red lead</dt>
        <dd>{outline.red}</dd>
      </div>
      <div>
        <dt>Black lead</dt>
        <dd>{outline.black}</dd>
      </div>
    </dl>
  );
}

/** For a step without a measurement: the answers, or one to say that it is done. */
function Choices({ outline }: { readonly outline: StepOutline }) {
  const { client } = useBench();
  const act = useAction();
  const can = useCan("confirm");
  if (!can || outline.kind === "measure" || outline.kind === "wait") return null;
  const confirm = (choice: string | null) => () => {
    act(client.call("confirm", { step: outline.id, choice }));
  };
  return (
    <div className="choices">
      {outline.choices.map((choice) => (
        <button className="button" type="button" key={choice.id} onClick={confirm(choice.id)}>
          {choice.label}
        </button>
      ))}
      {outline.choices.length === 0 && (
        <button className="button" data-kind="main" type="button" onClick={confirm(null)}>
          Done
        </button>
      )}
    </div>
  );
}
