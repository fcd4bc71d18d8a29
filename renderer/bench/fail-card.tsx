import { useBenchSlice } from "../store/bench-context.js";
import { outlineOf } from "../store/outline.js";
import { useStepOutline } from "../store/use-step.js";
import type { LastResult } from "../store/state.js";
import { scaleView } from "../view/scale-view.js";
import { expectedWords, foundWords, remarks } from "../view/verdict-words.js";
import { ScaleDrawing } from "./scale-drawing.js";

interface Props {
  readonly last: LastResult;
  /** What comes next needs the room: what failed, and no more. */
  readonly brief: boolean;
}

/** A failed step takes the width until the next contact. */
export function FailCard({ last, brief }: Props) {
  return brief ? <BriefCard last={last} /> : <WholeCard last={last} />;
}

/** Hands that take the tool apart are not on the probes: the failure stays in sight, in one line. */
function BriefCard({ last: { result, title } }: Pick<Props, "last">) {
  const { limits, unit, resolution } = result;
  return (
    <section className="area-verdict fail-card fail-brief" role="alert" data-testid="fail-card">
      <p className="fail-word">FAIL</p>
      <h2>{title}</h2>
      <p>
        Expected <b className="figures">{expectedWords(limits, unit, resolution)}</b>, found{" "}
        <b className="figures">{foundWords(result)}</b>
      </p>
    </section>
  );
}

function WholeCard({ last }: Pick<Props, "last">) {
  const { result, title } = last;
  const run = useBenchSlice((state) => state.run);
  const next = useStepOutline();
  const meaning = outlineOf(run, result.step)?.means?.fail ?? null;
  const { limits, unit, value, overload, uncertainty, resolution } = result;
  const view = limits && scaleView({ limits, unit, value, overload, uncertainty, resolution });
  const said = remarks(result);
  return (
    <section className="area-verdict fail-card" role="alert" data-testid="fail-card">
      <div className="fail-head">
        <p className="fail-word">FAIL</p>
        <h2 className="fail-title">{title}</h2>
      </div>
      <dl className="facts">
        <dt>Expected</dt>
        <dd className="figures">{expectedWords(limits, unit, resolution)}</dd>
        <dt>Found</dt>
        <dd className="figures">{foundWords(result)}</dd>
        {meaning !== null && <Fact term="Means" words={meaning} />}
        <Fact term="Next" words={next === null ? "The plan ends here." : next.title} />
      </dl>
      {view && (
        <div className="strip">
          <ScaleDrawing view={view} verdict="fail" />
        </div>
      )}
      {said.length > 0 && <p className="small">{said.join("; ")}</p>}
    </section>
  );
}

function Fact({ term, words }: { readonly term: string; readonly words: string }) {
  return (
    <>
      <dt>{term}</dt>
      <dd>{words}</dd>
    </>
  );
}
