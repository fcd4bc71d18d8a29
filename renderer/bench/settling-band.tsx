import { useBenchSlice } from "../store/bench-context.js";
import type { Contact } from "../store/state.js";
import { bandView, halfWidth } from "../view/band-view.js";
import type { BandView } from "../view/band-view.js";

const TICKS = [1, 10, 100];
/** Units of the drawing: the strip is stretched to its box. */
const WIDTH = 1000;
const HEIGHT = 60;

/** Why the program is still waiting: the spread of the last moments in the meter's own counts. */
export function SettlingBand() {
  const step = useBenchSlice((state) => state.step);
  const contact = step?.contact ?? "lifted";
  const view = bandView(contact, step?.band ?? null);
  return (
    <section className="area-band card strip" aria-label="Settling">
      <div className="strip-head">
        <h2 className="label">Settling</h2>
        <p className="figures small" data-testid="contact" data-contact={contact}>
          {view.words}
        </p>
      </div>
      <BandDrawing view={view} contact={contact} />
      <div className="strip-labels" aria-hidden="true">
        <span style={{ left: "50%" }}>0</span>
        {TICKS.map((counts) => (
          <span key={counts} style={{ left: `${50 + 50 * halfWidth(counts)}%` }}>
            {counts}
          </span>
        ))}
        <span style={{ left: "0%", transform: "none" }}>counts</span>
      </div>
    </section>
  );
}

function BandDrawing({ view, contact }: { readonly view: BandView; readonly contact: Contact }) {
  const middle = WIDTH / 2;
  const half = Math.max(0.5, middle * view.half);
  const box = { x: middle - half, width: 2 * half };
  const filled = HEIGHT * view.filled;
  return (
    <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
      {TICKS.flatMap((counts) => [-1, 1].map((side) => side * halfWidth(counts))).map((at) => (
        <line
          className="band-tick"
          key={at}
          x1={middle + middle * at}
          x2={middle + middle * at}
          y1={HEIGHT - 8}
          y2={HEIGHT}
          vectorEffect="non-scaling-stroke"
        />
      ))}
      <line
        className="band-frame"
        x1={0}
        x2={WIDTH}
        y1={HEIGHT}
        y2={HEIGHT}
        vectorEffect="non-scaling-stroke"
      />
      {contact !== "lifted" && (
        <rect className="band-fill" {...box} y={HEIGHT - filled} height={filled} />
      )}
      <rect
        className="band-body"
        data-contact={contact}
        {...box}
        y={1}
        height={HEIGHT - 2}
        vectorEffect="non-scaling-stroke"
      />
    </svg>
  );
}
