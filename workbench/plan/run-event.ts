import type { TimedReading } from "../../protocols/reading.js";
import type { Band, ContactState, Prompt } from "../measurement/watch.js";
import type { CautionKind } from "./schema.js";
import type { StepResult } from "./step-result.js";

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
  /** The plan stands aside while the technician probes freely: no reading is for its step. */
  | { readonly kind: "aside"; readonly on: boolean; readonly time_s: number };

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
      readonly cautions: readonly CautionKind[];
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
  | {
      readonly kind: "finished";
      readonly time_s: number;
      readonly passed: number;
      readonly failed: number;
      readonly other: number;
    };
