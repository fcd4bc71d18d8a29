import { useEffect, useRef } from "react";
import type { RefObject } from "react";

/** From so many lines on the browser is not left to insert a text itself. */
const MANY_LINES = 20;

/**
 * A whole plan that is pasted. Chromium lays a text field out anew for each line that it inserts,
 * which takes seconds for a thousand lines; setting the same range at once takes milliseconds.
 */
export function useFastInsert(
  area: RefObject<HTMLTextAreaElement | null>,
  onChange: (text: string) => void,
): void {
  const change = useRef(onChange);
  useEffect(() => {
    change.current = onChange;
  });
  useEffect(() => {
    const { current } = area;
    if (current === null) return;
    // React's own event of this name tells nothing of what a paste replaces.
    const insert = (event: InputEvent): void => {
      const text = event.data ?? event.dataTransfer?.getData("text/plain") ?? "";
      if (text.split("\n").length < MANY_LINES) return;
      event.preventDefault();
      current.setRangeText(text, current.selectionStart, current.selectionEnd, "end");
      change.current(current.value);
    };
    current.addEventListener("beforeinput", insert);
    return () => current.removeEventListener("beforeinput", insert);
  }, [area]);
}
