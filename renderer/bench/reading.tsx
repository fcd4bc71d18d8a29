import { useBenchSlice } from "../store/bench-context.js";
import { useNow } from "../store/use-now.js";
import type { BenchState, ReadingNow } from "../store/state.js";
import { ageText } from "../view/figures.js";
import { ageOf, readingView } from "../view/reading-view.js";
import type { ReadingView } from "../view/reading-view.js";
import { Digits } from "./digits.js";

/** The readings of all meters, the first one large. */
export function Readings() {
  const meters = useBenchSlice((state) => state.meters);
  const channels = Object.keys(meters).sort();
  const shown = channels.length === 0 ? ["a"] : channels;
  return (
    <section className="area-reading readings" aria-label="Reading">
      {shown.map((channel, at) => (
        <Reading channel={channel} key={channel} first={at === 0} alone={shown.length === 1} />
      ))}
    </section>
  );
}

interface ReadingProps {
  readonly channel: string;
  readonly first: boolean;
  readonly alone: boolean;
}

function Reading({ channel, first, alone }: ReadingProps) {
  const newest = useBenchSlice((state) => state.readings[channel]);
  const meter = useBenchSlice((state) => state.meters[channel]);
  const link = useBenchSlice((state) => state.link);
  const view = readingView(newest, meter, link);
  return (
    <div
      className="reading"
      data-channel={channel}
      data-rank={first ? "first" : "second"}
      data-pair={alone ? "no" : "yes"}
      data-live={view.live ? "yes" : "no"}
    >
      <div className="reading-figure">
        {view.digits === "" ? (
          <span className="reading-none">No reading yet</span>
        ) : (
          <Digits digits={view.digits} />
        )}
        <span className="reading-unit" data-testid="reading-unit">
          {view.unit}
        </span>
      </div>
      <div>
        {!alone && <p className="label">Meter {channel}</p>}
        <p>{view.words}</p>
        {view.flags.length > 0 && <p className="small">{view.flags.join(", ")}</p>}
        <MeterLine view={view} newest={newest} />
      </div>
    </div>
  );
}

interface MeterLineProps {
  readonly view: ReadingView;
  readonly newest: ReadingNow | undefined;
}

function MeterLine({ view, newest }: MeterLineProps) {
  return (
    <p role="status">
      <span className="meter-sign" data-testid="meter-state" data-state={view.state}>
        {view.sign}
      </span>{" "}
      {!view.live && newest !== undefined && <Age newest={newest} />}{" "}
      {!view.live && <span>{view.advice}</span>}
    </p>
  );
}

const clockOf = (state: BenchState): BenchState["clock"] => state.clock;

function Age({ newest }: { readonly newest: ReadingNow }) {
  const clock = useBenchSlice(clockOf);
  const now_ms = useNow(200, true);
  return (
    <span data-testid="reading-age">last reading {ageText(ageOf(newest, clock, now_ms))} ago.</span>
  );
}
