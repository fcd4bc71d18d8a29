import type { TimedReading } from "../../protocols/reading.js";
import type { Order } from "../contract/orders.js";
import type { Band, ContactState, Prompt } from "../measurement/watch.js";
import type { CautionKind } from "./schema.js";
import type { StepResult } from "./step-result.js";
import type { ToolState } from "./tool-state.js";

/** What goes into the runner. All times on the job's one time base. */
export type RunInput =
  | {
      readonly kind: "reading";
      readonly reading: TimedReading;
    }
  | {
      readonly kind: "meter";
      readonly channel: string;
      readonly state: "live" | "lost";
      readonly time_s: number;
    }
  /** A person (key, pedal, choice on screen, or the meter's HOLD key) says yes to a non-measuring step. */
  | {
      readonly kind: "confirm";
      readonly step: string;
      readonly choice: string | null;
      readonly time_s: number;
    }
  | {
      readonly kind: "skip";
      readonly step: string;
      readonly reason: string;
      readonly time_s: number;
    }
  | { readonly kind: "repeat"; readonly step: string; readonly time_s: number }
  /** Another order from here on; `free` drops the step in progress, and nothing begins by itself. */
  | { readonly kind: "order"; readonly order: Order; readonly time_s: number }
  /** The answer to `choose`. */
  | (Choice & { readonly kind: "chosen"; readonly time_s: number });

/** What is to be done next where the order is not the plan's. */
export interface Choice {
  /** null: nothing, or what is left after `leftOut`, which is asked anew. */
  readonly step: string | null;
  /** The measurement that `step` makes way for; null where none follows. */
  readonly toward: string | null;
  /** Why this step, for a person. */
  readonly words: string;
  /** What each outcome of the measurement, or of the one that it makes way for, would mean. */
  readonly tells: readonly string[];
  /** Steps that are not taken, each with its reason. */
  readonly leftOut: readonly { readonly step: string; readonly reason: string }[];
}

/** What is touched to say yes: the known source on volts, the probe tips together on ohms. */
export type YesTouch = "known-source" | "together";

/** What the runner asks: a watch's own prompts, and those of the plan as a whole. */
export type RunPrompt =
  | Prompt
  /** A `do` step: say yes by going on, or by one touch (docs/plans.md, hands-free). */
  | { readonly kind: "confirm"; readonly by: YesTouch }
  /**
   * A `look` step: touch as often as the choice's place in the list. `unclear`: how often the
   * touches so far could not be counted for sure.
   */
  | { readonly kind: "choose"; readonly by: YesTouch; readonly unclear?: number }
  /** Nothing has happened for a while: said once more, then quiet. */
  | { readonly kind: "again" }
  | { readonly kind: "meter-lost" }
  | { readonly kind: "meter-back" };

/** What comes out. `step` events are journalled before they are shown. */
export type RunEvent =
  | {
      readonly kind: "begin";
      readonly step: string;
      readonly index: number;
      readonly time_s: number;
      readonly instruction: string;
      /** Those of the step, and of what has to be done to the tool before it. */
      readonly cautions: readonly CautionKind[];
      /** The measuring step that follows this one, as far as it is known. */
      readonly next: string | null;
      /** Why it is this step's turn; null in the plan's own order. */
      readonly why: Pick<Choice, "words" | "tells"> | null;
      readonly limits: { readonly low: number | null; readonly high: number | null } | null;
      readonly unit: string;
    }
  | {
      readonly kind: "contact";
      readonly step: string;
      readonly time_s: number;
      readonly contact: ContactState;
      readonly band: Band | null;
    }
  | {
      readonly kind: "prompt";
      readonly step: string;
      readonly time_s: number;
      /** null: what was asked is done; words are "" then. */
      readonly prompt: RunPrompt | null;
      readonly words: string;
    }
  | {
      readonly kind: "step";
      readonly time_s: number;
      readonly result: StepResult;
      /** The verdict as it is said aloud, value and unit in words. */
      readonly words: string;
    }
  /** Which step next? Until that is `chosen`, what comes in waits. */
  | {
      readonly kind: "choose";
      readonly time_s: number;
      readonly state: ToolState;
      /** Steps without a result, in the plan's order. */
      readonly open: readonly string[];
    }
  | {
      readonly kind: "finished";
      readonly time_s: number;
      readonly passed: number;
      readonly failed: number;
      readonly other: number;
    };
