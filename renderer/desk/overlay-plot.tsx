import { useMemo } from "react";
import { useAnswer } from "../store/use-answer.js";
import { useSize } from "../store/use-size.js";
import { Plot } from "../bench/plot.js";
import { plotPair } from "../view/plot-view.js";
import type { Trace } from "../store/state.js";

interface Props {
  readonly first: string;
  readonly second: string;
  readonly step: string;
  readonly title: string;
  readonly names: { readonly first: string; readonly second: string };
}

const NO_LINE: Trace = { time_s: [], low: [], high: [] };

/** The traces of one step in two runs on one axis, both from where the step's reading began. */
export function OverlayPlot({ first, second, step, title, names }: Props) {
  const overlay = useAnswer("overlayStep", { first, second, step, points: 600 });
  const [box, size] = useSize();
  const unit = overlay?.second?.unit ?? overlay?.first?.unit ?? "";
  const pair = useMemo(() => {
    if (overlay === null || size.width === 0) return null;
    return plotPair(overlay.second ?? NO_LINE, overlay.first ?? NO_LINE, size, {
      ...overlay,
      unit,
    });
  }, [overlay, size, unit]);
  const nothing = overlay !== null && overlay.first === null && overlay.second === null;
  return (
    <section
      className="card job-trace unit-plot"
      aria-label={`Traces of ${title}`}
      data-testid="overlay"
    >
      <h2 className="label">
        {title}
        {unit === "" ? "" : `, ${pair?.front.axis.prefix ?? ""}${unit}`}, seconds since the reading
        began
      </h2>
      <ul className="legend">
        <li data-line="back">{names.first}</li>
        <li data-line="front">{names.second}</li>
      </ul>
      <div className="plot-body" ref={box}>
        {nothing && <p>Neither run has a trace of this step.</p>}
        {pair && !nothing && (
          <Plot view={pair.front} back={pair.back} limits={null} size={size} times="from-start" />
        )}
      </div>
    </section>
  );
}
