import { useEffect, useRef, useState } from "react";
import { dropDraft, keepDraft, readDraft } from "./draft.js";

export interface EditedText {
  readonly text: string;
  /** When the work that is not kept began, ISO 8601; null: nothing is changed. */
  readonly unkept: string | null;
  /** false: this computer has no room to keep the work safe. */
  readonly safe: boolean;
  readonly canUndo: boolean;
  /** `typing` changes close to each other are undone together. */
  change(text: string, typing: boolean): void;
  readonly undo: () => void;
  /** Back to what was opened; the draft is gone. */
  readonly reset: () => void;
  /** The text is kept elsewhere now. */
  kept(): void;
}

/** Changes closer together than this are one, for undoing. */
const TOGETHER_MS = 1000;
const MOST_UNDO = 100;

/** A text whose changes are safe on this computer until they are kept or thrown away. */
export function useEditedText(plan: string, opened: string): EditedText {
  const [draft] = useState(() => readDraft(plan));
  const [text, setText] = useState(draft?.text ?? opened);
  const [since, setSince] = useState(draft?.since ?? null);
  const [safe, setSafe] = useState(true);
  const [past, setPast] = useState<readonly string[]>([]);
  const changed = useRef(0);
  const put = (next: string): void => {
    const started = next === opened ? null : (since ?? new Date().toISOString());
    setText(next);
    setSince(started);
    if (started === null) dropDraft(plan);
    else setSafe(keepDraft(plan, next, started));
  };
  useWarning(since !== null && !safe);
  return {
    text,
    unkept: since,
    safe,
    canUndo: past.length > 0,
    change(next, typing) {
      if (next === text) return;
      const together = typing && performance.now() - changed.current < TOGETHER_MS;
      changed.current = typing ? performance.now() : 0;
      if (!together) setPast([...past, text].slice(-MOST_UNDO));
      put(next);
    },
    undo() {
      const before = past.at(-1);
      if (before === undefined) return;
      setPast(past.slice(0, -1));
      changed.current = 0;
      put(before);
    },
    reset() {
      setPast([...past, text].slice(-MOST_UNDO));
      put(opened);
    },
    kept() {
      dropDraft(plan);
    },
  };
}

/** Where the work cannot be kept safe, the browser asks before the window closes. */
function useWarning(needed: boolean): void {
  useEffect(() => {
    if (!needed) return;
    const ask = (event: BeforeUnloadEvent): void => event.preventDefault();
    window.addEventListener("beforeunload", ask);
    return () => window.removeEventListener("beforeunload", ask);
  }, [needed]);
}
