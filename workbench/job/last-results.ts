import type { JournalEvent } from "./journal-event.js";
import type { JournalLine } from "./journal-line.js";

export type RecordedStep = Extract<JournalEvent, { kind: "step" }>["result"];

/** The result of each step that was taken: a step that was repeated counts as it came out last. */
export function lastResults(lines: readonly JournalLine[]): RecordedStep[] {
  const last = new Map(
    lines.flatMap(({ event }) =>
      event.kind === "step" ? [[event.result.step, event.result] as const] : [],
    ),
  );
  return [...last.values()];
}
