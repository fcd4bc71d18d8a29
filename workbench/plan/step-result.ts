import type { Detail } from "../measurement/watch.js";
import type { DecisionRule, Limits, Verdict } from "../measurement/verdict.js";

/**
 * A finished step: the line that the command line prints, the journal keeps and the window shows.
 * Field names are a published format.
 */
export interface StepResult {
  readonly event: "step";
  readonly step: string;
  readonly verdict: Verdict;
  /** null on overload. */
  readonly value: number | null;
  readonly overload: boolean | "positive" | "negative";
  readonly unit: string;
  readonly resolution: number | null;
  /** Expanded uncertainty k·u in `unit`; null where nothing is known of the meter. */
  readonly uncertainty: number | null;
  readonly k: number | null;
  readonly limits: Limits | null;
  readonly rule: DecisionRule | null;
  /** Probability that the verdict is wrong, 0 to 1; null where it is not judged. */
  readonly risk: number | null;
  readonly polarity: "as-marked" | "reversed" | null;
  readonly zero: null | "proved" | "accepted";
  readonly started_s: number;
  readonly ended_s: number;
  readonly details: Readonly<Record<string, Detail>>;
  /** What the uncertainty does not know, such as the meter's accuracy, or its calibration. */
  readonly doubt: string | null;
  /** Why it was skipped or not judged, in words. */
  readonly reason: string | null;
}
