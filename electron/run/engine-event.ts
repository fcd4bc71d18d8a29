import type { LeadhandError } from "../../protocols/error.js";
import type { TimedReading } from "../../protocols/reading.js";
import type { SessionEvent } from "../../drivers/session-state.js";
import type { FreeStatus, PowerPath } from "../../workbench/contract/events.js";
import type { Order } from "../../workbench/contract/orders.js";
import type { JournalEvent } from "../../workbench/job/journal-event.js";
import type { RunEvent } from "../../workbench/plan/run-event.js";

/** How a run came to its end. */
export type Ending = "finished" | "stopped" | "meter-ended" | "trouble";

/** What a run tells those who follow it: a window, the command line, the practice hand. */
export type EngineEvent =
  | Extract<SessionEvent, { kind: "state" | "note" }>
  | { readonly kind: "reading"; readonly reading: TimedReading }
  /** A runner event; a finished step comes only when its journal line is on disk. */
  | { readonly kind: "run"; readonly event: RunEvent }
  /** First of all where an interrupted run goes on: what it had said before; nothing of it is new. */
  | {
      readonly kind: "past";
      readonly events: readonly RunEvent[];
      readonly journal: readonly JournalEvent[];
    }
  /** Another order is followed from here on. */
  | { readonly kind: "order"; readonly order: Order }
  /** Free probing; said anew whenever something changes. */
  | { readonly kind: "free"; readonly free: FreeStatus }
  /** A reading that was taken beside the plan is on disk and counts for the parts. */
  | { readonly kind: "probed" }
  /** What the readings of a finished run say of the parts; it is on disk. */
  | { readonly kind: "concluded"; readonly words: string; readonly path: PowerPath }
  | { readonly kind: "trouble"; readonly error: LeadhandError }
  | { readonly kind: "ended"; readonly how: Ending };

/** What the runner says in it, now or in an earlier sitting. */
export function runEventsIn(event: EngineEvent): readonly RunEvent[] {
  if (event.kind === "run") return [event.event];
  return event.kind === "past" ? event.events : [];
}
