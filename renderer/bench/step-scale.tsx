import { useBenchSlice } from "../store/bench-context.js";
import type { LastResult, StepNow } from "../store/state.js";
import { scaleView } from "../view/scale-view.js";
import { expectedWords, foundWords, isMeasured } from "../view/verdict-words.js";
import { ScaleDrawing } from "./scale-drawing.js";
import { VerdictWord } from "./verdict-word.js";

/** The scale of the step; between two steps that of the result just recorded. */
export function StepScale() {
  const step = useBenchSlice((state) => state.step);
  const last = useBenchSlice((state) => state.last);
  return (
    <section className="area-scale card strip" aria-label="Scale of the step">
      {last !== null && isMeasured(last.result) ? (
        <ResultScale last={last} />
      ) : (
        <LiveScale step={step} />
      )}
    </section>
  );
}

function ResultScale({ last: { result, title } }: { readonly last: LastResult }) {
  const { limits, unit, value, overload, uncertainty, resolution } = result;
  const view =
    limits === null ? null : scaleView({ limits, unit, value, overload, uncertainty, resolution });
  return (
    <>
      <div className="strip-head">
        <h2 className="label">Recorded: {title}</h2>
        <p>
          <span className="figures">{foundWords(result)}</span> <VerdictWord result={result} />
        </p>
      </div>
      {view && <ScaleDrawing view={view} verdict={result.verdict} />}
    </>
  );
}

function LiveScale({ step }: { readonly step: StepNow | null }) {
  const limits = step?.limits ?? null;
  const unit = step?.unit ?? "";
  return (
    <>
      <div className="strip-head">
        <h2 className="label">Expected</h2>
        <p className="figures">{step === null ? "" : expectedWords(limits, unit)}</p>
      </div>
      {step && limits && <LiveDrawing step={step} limits={limits} />}
    </>
  );
}

interface LiveProps {
  readonly step: StepNow;
  readonly limits: NonNullable<StepNow["limits"]>;
}

/** Follows the reading, but only one that is in the unit of the step and taken in contact. */
function LiveDrawing({ step, limits }: LiveProps) {
  const newest = useBenchSlice((state) => state.readings["a"]);
  const fits = step.contact !== "lifted" && newest?.reading.unit === step.unit;
  const value = fits ? (newest.reading.value ?? null) : null;
  const view = scaleView({ limits, unit: step.unit, value, uncertainty: null, resolution: null });
  return view && <ScaleDrawing view={view} verdict="live" />;
}
