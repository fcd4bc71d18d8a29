import type { ScaleMark, ScaleView } from "../view/scale-view.js";
import type { Verdict } from "../view/verdict-words.js";

const WIDTH = 1000;
const HEIGHT = 60;
const MIDDLE = HEIGHT / 2;

interface Props {
  readonly view: ScaleView;
  readonly verdict: Verdict | "live";
}

/** Limits as marks, the zone between them heavy, the value with its uncertainty across. */
export function ScaleDrawing({ view, verdict }: Props) {
  return (
    <div>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
        <Line className="scale-line" from={[0, MIDDLE]} to={[1, MIDDLE]} />
        <Line className="scale-zone" from={[view.zone.from, MIDDLE]} to={[view.zone.to, MIDDLE]} />
        {view.low && (
          <Line className="scale-limit" from={[view.low.at, 8]} to={[view.low.at, 52]} />
        )}
        {view.high && (
          <Line className="scale-limit" from={[view.high.at, 8]} to={[view.high.at, 52]} />
        )}
        {view.whisker && <Whisker {...view.whisker} verdict={verdict} />}
        {view.value && (
          <Line
            className="scale-value"
            verdict={verdict}
            from={[view.value.at, 0]}
            to={[view.value.at, HEIGHT]}
          />
        )}
      </svg>
      <div className="strip-labels">
        {[view.low, view.high].map((mark) => mark && <Label key={mark.label} mark={mark} />)}
      </div>
    </div>
  );
}

function Label({ mark }: { readonly mark: ScaleMark }) {
  return <span style={{ left: `${mark.at * 100}%` }}>{mark.label}</span>;
}

interface WhiskerProps {
  readonly from: number;
  readonly to: number;
  readonly verdict: string;
}

function Whisker({ from, to, verdict }: WhiskerProps) {
  const y = 14;
  return (
    <>
      <Line className="scale-whisker" verdict={verdict} from={[from, y]} to={[to, y]} />
      <Line className="scale-whisker" verdict={verdict} from={[from, y - 8]} to={[from, y + 8]} />
      <Line className="scale-whisker" verdict={verdict} from={[to, y - 8]} to={[to, y + 8]} />
    </>
  );
}

interface LineProps {
  readonly className: string;
  /** Share of the width, and units of the height. */
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
  readonly verdict?: string;
}

function Line({ className, from, to, verdict }: LineProps) {
  return (
    <line
      className={className}
      data-verdict={verdict}
      x1={from[0] * WIDTH}
      y1={from[1]}
      x2={to[0] * WIDTH}
      y2={to[1]}
      vectorEffect="non-scaling-stroke"
    />
  );
}
