import { useEffect } from "react";
import { SKIP_BUTTON } from "../bench/skip-dialog.js";
import type { CallName } from "../../workbench/contract/calls.js";
import { useBench } from "../store/bench-context.js";
import type { Bench } from "../store/bench-context.js";
import { outlineOf } from "../store/outline.js";
import { useAction } from "../store/use-action.js";
import { getSettings } from "./settings.js";
import type { KeyAction } from "./settings.js";

/** The assigned keys, wherever the focus is, except where somebody types or presses a button. */
export function useKeys(): void {
  const bench = useBench();
  const act = useAction();
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.repeat || takesKey(event)) return;
      const { keys } = getSettings();
      const action = (Object.keys(keys) as KeyAction[]).find((name) => keys[name] === event.code);
      const request = action && perform(bench, action);
      if (!request) return;
      event.preventDefault();
      act(request);
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, [bench, act]);
}

/** Who types keeps every key; a button that has the focus only those that press it. */
function takesKey({ target, code }: KeyboardEvent): boolean {
  if (!(target instanceof Element)) return false;
  if (target.closest("input, select, textarea, dialog") !== null) return true;
  const presses = ["Enter", "NumpadEnter", "Space"].includes(code);
  return presses && target.closest("button, summary, a") !== null;
}

function perform({ store, client }: Bench, action: KeyAction): Promise<unknown> | null {
  const { step, run, last, calls } = store.get();
  const can = (call: CallName): boolean => calls?.includes(call) ?? false;
  if (step === null || !can(action)) return null;
  switch (action) {
    case "confirm": {
      const outline = outlineOf(run, step.id);
      // A question with answers is not answered by a bare yes.
      if (outline === null || outline.kind === "measure" || outline.choices.length > 0) return null;
      return client.call("confirm", { step: step.id, choice: null });
    }
    case "repeat":
      return client.call("repeat", { step: last?.result.step ?? step.id });
    case "skip":
      // The same way as by hand: a skipped step has a reason.
      document.getElementById(SKIP_BUTTON)?.click();
      return Promise.resolve();
  }
}
