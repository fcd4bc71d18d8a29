import { useState } from "react";
import { AreaField, SelectField, TextField } from "./field.js";
import { withLimit, withStep } from "./plan-text.js";
import type { FormPlan, FormStep } from "./plan-text.js";

interface Props {
  readonly plan: FormPlan;
  readonly onChange: (plan: FormPlan) => void;
}

/** What a shop changes most: names, words and limits. The rest is in the JSON beside it. */
export function PlanForm({ plan, onChange }: Props) {
  const [at, setAt] = useState(0);
  const step = plan.steps[at];
  const steps = plan.steps.map(({ title }, n) => [String(n), `${n + 1}. ${title}`] as const);
  return (
    <div className="form">
      <div className="fields">
        <TextField
          label="Title"
          name="title"
          value={plan.title}
          onChange={(title) => onChange({ ...plan, title })}
        />
        <TextField
          label="Id"
          name="id"
          value={plan.id}
          onChange={(id) => onChange({ ...plan, id })}
        />
        <TextField
          label="Revision"
          name="revision"
          value={plan.revision}
          onChange={(revision) => onChange({ ...plan, revision })}
        />
      </div>
      <SelectField
        label="Step"
        value={String(at)}
        options={steps}
        onChange={(value) => setAt(Number(value))}
      />
      {step && (
        <StepForm step={step} onChange={(changed) => onChange(withStep(plan, at, changed))} />
      )}
    </div>
  );
}

interface StepProps {
  readonly step: FormStep;
  readonly onChange: (step: FormStep) => void;
}

function StepForm({ step, onChange }: StepProps) {
  return (
    <fieldset className="form">
      <legend>{step.id}</legend>
      <TextField
        label="Title of the step"
        name="step-title"
        value={step.title}
        onChange={(title) => onChange({ ...step, title })}
      />
      <AreaField
        label="Instruction, as it is said"
        rows={3}
        value={step.instruction}
        onChange={(instruction) => onChange({ ...step, instruction })}
      />
      {step.kind === "measure" && <LimitFields step={step} onChange={onChange} />}
    </fieldset>
  );
}

function LimitFields({ step, onChange }: StepProps) {
  const { limits } = step;
  return (
    <div className="fields">
      {(["low", "high"] as const).map((side) => (
        <TextField
          key={side}
          label={side === "low" ? "At least (number or formula)" : "At most (number or formula)"}
          name={side}
          value={String(limits?.[side] ?? "")}
          onChange={(typed) => onChange(withLimit(step, side, typed))}
        />
      ))}
      {limits && (
        <TextField
          label="Source of the limit"
          name="source"
          value={limits.source}
          onChange={(source) => onChange({ ...step, limits: { ...limits, source } })}
        />
      )}
    </div>
  );
}
