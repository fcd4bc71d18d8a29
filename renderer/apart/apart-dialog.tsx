import { useRef, useState } from "react";
import { useBenchSlice } from "../store/bench-context.js";
import { useStepOutline } from "../store/use-step.js";
import { RemovalPanel } from "./removal-panel.js";
import { ClosingList } from "./closing-list.js";

/** Opens the record of what came off, at any time; there only where something has, or may. */
export function ApartButton() {
  const told = useBenchSlice((state) => state.apart);
  const dialog = useRef<HTMLDialogElement>(null);
  const [open, setOpen] = useState(false);
  const outline = useStepOutline();
  const doing = outline?.kind === "do" ? outline : null;
  if (told === null || (told.apart.order.length === 0 && doing === null)) return null;
  const { partsLeft, order } = told.apart;
  return (
    <>
      <button
        className="button small"
        type="button"
        data-testid="apart-button"
        onClick={() => {
          setOpen(true);
          dialog.current?.showModal();
        }}
      >
        Taken apart: {order.length > 0 && partsLeft === 0 ? "all back" : partsLeft}
      </button>
      <dialog
        ref={dialog}
        className="settings"
        aria-label="What came off"
        data-testid="apart-dialog"
        onClose={() => setOpen(false)}
      >
        {open && (
          <div className="form">
            {doing !== null && <RemovalPanel outline={doing} />}
            <h2>What came off, last off first on</h2>
            <ClosingList job={told.job} apart={told.apart} />
            <div>
              <button className="button" type="button" onClick={() => dialog.current?.close()}>
                Close
              </button>
            </div>
          </div>
        )}
      </dialog>
    </>
  );
}

/** While things go back on: the list in full. */
export function ClosingPanel() {
  const told = useBenchSlice((state) => state.apart);
  if (told === null) return null;
  return (
    <section className="area-apart card apart-panel" aria-label="Closing up">
      <h2 className="label">Closing up, last off first on</h2>
      <ClosingList job={told.job} apart={told.apart} />
    </section>
  );
}
