import { useMemo } from "react";
import { useAnswer } from "../store/use-answer.js";
import { Plot } from "../bench/plot.js";
import { useSize } from "../store/use-size.js";
import { plotView } from "../view/plot-view.js";

interface Props {
  readonly job: string;
  readonly channel: string;
  readonly title: string;
}

/** The whole trace of one meter, drawn as at the bench. */
export function JobTrace({ job, channel, title }: Props) {
  const trace = useAnswer("readTrace", { job, channel, points: 1200 });
  const [box, size] = useSize();
  const view = useMemo(
    () => (trace && size.width > 0 ? plotView(trace, null, size, spanOf(trace.time_s)) : null),
    [trace, size],
  );
  return (
    <section className="card job-trace" aria-label={`Trace of meter ${channel}`}>
      <h2 className="label">
        Trace of {title}
        {trace && `: ${trace.readings} readings, ${view?.axis.prefix ?? ""}${trace.unit}`}
      </h2>
      <div className="plot-body" ref={box}>
        {view && <Plot view={view} limits={null} size={size} />}
      </div>
    </section>
  );
}

function spanOf(time_s: readonly number[]): number {
  return Math.max(1, (time_s.at(-1) ?? 0) - (time_s[0] ?? 0));
}
