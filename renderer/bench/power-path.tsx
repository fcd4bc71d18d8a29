import { useEffect, useRef } from "react";
import { useBenchSlice } from "../store/bench-context.js";
import { pathView } from "../view/path-view.js";
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
  const view = pathView(path);
  return (
    <>
      <ol className="path-list">
        {view.before.map((point) => (
          <Point key={point.id} point={point} />
        ))}
        {view.rows.map((row) => [
          <Part key={row.part.id} row={row} />,
          ...row.points.map((point) => <Point key={point.id} point={point} />),
        ])}
      </ol>
      {path.next && <NextProbe next={path.next} />}
    </>
  );
}

function Part({ row: { part, words } }: { readonly row: PathRow }) {
  return (
    <li className="path-row" data-testid="path-part" data-part={part.id} data-state={part.state}>
      <div className="line">
        <PartLine state={part.state} />
      </div>
      <div className="text">
        <span className="name">{part.label}</span> <span className="state small">{words}</span>
        {part.reason !== null && part.state !== "unknown" && <p className="small">{part.reason}</p>}
      </div>
    </li>
  );
}

function PartLine({ state }: { readonly state: PartStatus["state"] }) {
  const line = (y1: string, y2: string) => (
    <line className="path-line" data-state={state} x1="50%" x2="50%" y1={y1} y2={y2} />
  );
  return (
    <svg aria-hidden="true">
      {state === "condemned" ? (
        <>
          {line("0%", "28%")}
          {line("72%", "100%")}
        </>
      ) : (
        line("0%", "100%")
      )}
    </svg>
  );
}

function Point({ point }: { readonly point: PathPoint }) {
  const here = useRef<HTMLLIElement>(null);
  const { probe } = point;
  useEffect(() => {
    if (probe !== null) here.current?.scrollIntoView({ block: "nearest" });
  }, [probe]);
  return (
    <li className="path-row" data-kind="point" data-next={probe === null ? "no" : "yes"} ref={here}>
      <div className="line">
        <svg aria-hidden="true">
          <line className="path-line" data-state="unknown" x1="50%" x2="50%" y1="0%" y2="100%" />
          <line className="point-tick" x1="18%" x2="82%" y1="50%" y2="50%" />
        </svg>
      </div>
      <div className="text small">
        {point.label}
        {probe !== null && `: ${probe} next`}
      </div>
    </li>
  );
}

function NextProbe({ next }: { readonly next: NonNullable<Path["next"]> }) {
  return (
    <div className="next-probe" data-testid="next-probe">
      <h3 className="label">Next probe</h3>
      <p>{next.words}</p>
      <ul>
        {next.tells.map((words) => (
          <li className="small" key={words}>
            {words}
          </li>
        ))}
      </ul>
    </div>
  );
}
