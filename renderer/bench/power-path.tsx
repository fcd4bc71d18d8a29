import { useEffect, useRef } from "react";
import { useBenchSlice } from "../store/bench-context.js";
import { useStepOutline } from "../store/use-step.js";
import { pathView, pointLabels, testedShare } from "../view/path-view.js";
import type { PathPoint, PathRow } from "../view/path-view.js";
import type { PartStatus, PowerPath as Path } from "../../workbench/contract/events.js";

/** The chain from supply to work; the stroke itself tells what is known of each part. */
export function PowerPath() {
  const path = useBenchSlice((state) => state.path);
  return (
    <aside className="bench-path" aria-label="Power path" tabIndex={0}>
      <h2 className="label">Power path</h2>
      {path === null ? <p className="small">Not known yet.</p> : <Chain path={path} />}
    </aside>
  );
}

function Chain({ path }: { readonly path: Path }) {
  const outline = useStepOutline();
  const view = pathView(path, outline);
  return (
    <>
      <ol className="path-list">
        <Points points={view.before} />
        {view.rows.map((row) => [
          <Part key={row.part.id} row={row} />,
          <Points key={`${row.part.id} points`} points={row.points} />,
        ])}
      </ol>
      <NextProbe next={path.next} />
    </>
  );
}

function Part({ row: { part, words } }: { readonly row: PathRow }) {
  return (
    <li className="path-row" data-testid="path-part" data-part={part.id} data-state={part.state}>
      <div className="line">
        <PartLine part={part} />
      </div>
      <div className="text">
        <span className="name">{part.label}</span> <span className="state small">{words}</span>
        {part.reason !== null && <p className="small reason">{part.reason}</p>}
      </div>
    </li>
  );
}

function PartLine({ part }: { readonly part: PartStatus }) {
  return (
    <svg aria-hidden="true">
      {strokesOf(part).map(({ state, from, to }) => (
        <line
          key={from}
          className="path-line"
          data-state={state}
          x1="50%"
          x2="50%"
          y1={`${from}%`}
          y2={`${to}%`}
        />
      ))}
    </svg>
  );
}

interface Stroke {
  readonly state: PartStatus["state"];
  readonly from: number;
  readonly to: number;
}

/** A part that is cleared in part is drawn full as far as it was tested, and thin from there. */
function strokesOf(part: PartStatus): Stroke[] {
  const { state } = part;
  if (state === "condemned") {
    return [
      { state, from: 0, to: 28 },
      { state, from: 72, to: 100 },
    ];
  }
  const tested = Math.round(100 * testedShare(part));
  if (state !== "unknown" || tested === 0) return [{ state, from: 0, to: 100 }];
  return [
    { state: "cleared", from: 0, to: tested },
    { state, from: tested, to: 100 },
  ];
}

/** All points between two parts, on one line; where a probe belongs now, each on its own. */
function Points({ points }: { readonly points: readonly PathPoint[] }) {
  const here = useRef<HTMLLIElement>(null);
  const marked = points.filter(({ probe }) => probe !== null);
  const now = marked.length > 0;
  useEffect(() => {
    if (now) here.current?.scrollIntoView({ block: "nearest" });
  }, [now]);
  if (points.length === 0) return null;
  return (
    <li className="path-row" data-kind="point" data-next={now ? "yes" : "no"} ref={here}>
      <div className="line">
        <svg aria-hidden="true">
          <line className="path-line" data-state="unknown" x1="50%" x2="50%" y1="0%" y2="100%" />
          <line className="point-tick" x1="18%" x2="82%" y1="50%" y2="50%" />
        </svg>
      </div>
      <div className="text small">
        {now
          ? marked.map(({ id, label, probe }) => (
              <div key={id}>
                {label}: {probe}
              </div>
            ))
          : pointLabels(points)}
      </div>
    </li>
  );
}

/** What would tell most; in the proposed order, what comes of the step in progress. */
function NextProbe({ next }: Pick<Path, "next">) {
  const why = useBenchSlice((state) => state.step?.why ?? null);
  if (why !== null) {
    if (why.tells.length === 0) return null;
    return <Tells title="What this will tell" words={why.words} tells={why.tells} />;
  }
  if (next === null) return null;
  return <Tells title="Next probe" words={next.words} tells={next.tells} />;
}

interface TellsProps {
  readonly title: string;
  readonly words: string;
  readonly tells: readonly string[];
}

/** More of them would not be read, and on a small window not be seen. */
const MOST_TOLD = 4;

function Tells({ title, words: instruction, tells }: TellsProps) {
  return (
    <div className="next-probe" data-testid="next-probe">
      <h3 className="label">{title}</h3>
      <p>{instruction}</p>
      <ul>
        {tells.slice(0, MOST_TOLD).map((words) => (
          <li className="small" key={words}>
            {words}
          </li>
        ))}
        {tells.length > MOST_TOLD && (
          <li className="small">and {tells.length - MOST_TOLD} less likely</li>
        )}
      </ul>
    </div>
  );
}
