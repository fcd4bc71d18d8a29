import { useMemo } from "react";
import { useAnswer } from "../store/use-answer.js";
import { Plot } from "../bench/plot.js";
import type { Trace } from "../store/state.js";
import { useSize } from "../store/use-size.js";
import { plotView } from "../view/plot-view.js";

interface Props {
  readonly job: string;
  readonly channel: string;
  readonly title: string;
}

/** The whole trace of one meter, drawn as at the bench: one plot for each unit it read in. */
export function JobTrace({ job, channel, title }: Props) {
  const answer = useAnswer("readTrace", { job, channel, points: 1200 });
  return (
    <section className="card job-trace" aria-label={`Trace of meter ${channel}`}>
      <h2 className="label">
        Trace of {title}
        {answer && `: ${answer.readings} readings`}
      </h2>
      {answer?.lines.map((line) => (
        <UnitPlot key={line.unit} {...line} time_s={answer.time_s} />
      ))}
    </section>
  );
}

interface UnitProps extends Trace {
  readonly unit: string;
  readonly readings: number;
}

function UnitPlot({ unit, readings, time_s, low, high }: UnitProps) {
  const [box, size] = useSize();
  const view = useMemo(
    () =>
      size.width > 0 ? plotView({ time_s, low, high }, null, size, spanOf(time_s), { unit }) : null,
    [time_s, low, high, size, unit],
  );
  return (
    <figure className="unit-plot">
      <figcaption className="small">
        {view?.axis.prefix ?? ""}
        {unit}, {readings} readings
      </figcaption>
      <div className="plot-body" ref={box}>
        {view && <Plot view={view} limits={null} size={size} times="from-start" />}
      </div>
    </figure>
  );
}

function spanOf(time_s: readonly number[]): number {
  return Math.max(1, (time_s.at(-1) ?? 0) - (time_s[0] ?? 0));
}
