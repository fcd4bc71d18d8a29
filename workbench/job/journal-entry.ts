import type { JournalEvent } from "./journal-event.js";
import type { RunEvent, RunInput } from "../plan/run-event.js";

/** The journal line of what the runner said; null for what only a screen needs. */
export function entryOfEvent(event: RunEvent): JournalEvent | null {
  switch (event.kind) {
    case "begin": {
      const { kind, time_s, step, index, limits, unit, cautions } = event;
      return { kind, time_s, step, index, limits, unit, cautions: [...cautions] };
    }
    case "step":
      return { kind: "step", time_s: event.time_s, result: { ...event.result } };
    case "finished": {
      const { kind, time_s, passed, failed, other } = event;
      return { kind, time_s, passed, failed, other };
    }
    case "contact":
    case "prompt":
    case "choose":
      return null;
  }
}

/** What a replay must come to again. */
export function isDerived({ kind }: JournalEvent): boolean {
  return kind === "begin" || kind === "step" || kind === "finished";
}

/** The journal line of what was fed to the runner beside readings, which the traces keep. */
export function entryOfInput(input: RunInput): JournalEvent | null {
  if (input.kind === "reading") return null;
  if (input.kind !== "chosen") return { ...input };
  return { ...input, tells: [...input.tells], leftOut: [...input.leftOut] };
}
