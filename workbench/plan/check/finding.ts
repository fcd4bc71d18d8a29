/** The first six could hurt somebody, the meter or the tool. */
type FindingCode =
  | "powered-ohms"
  | "ohms-across-source"
  | "ammeter-across"
  | "feed-through-switch"
  | "caution-missing"
  | "condition-not-set"
  | "same-point"
  | "watch-condition"
  | "unreachable"
  | "judged-unknown"
  | "limits-crossed"
  | "limit-no-value"
  | "limit-too-tight"
  | "limit-needs-better-meter"
  | "off-path"
  | "no-path"
  | "meter-not-proved";

/** One thing that the checker has to say about a plan. */
export interface Finding {
  /** `error`: the plan is refused. `warning`: it runs, and somebody should know. */
  readonly level: "error" | "warning";
  readonly code: FindingCode;
  /** JSON path in the plan, such as $.steps[3].limits.low. */
  readonly path: string;
  readonly step: string | null;
  readonly what: string;
  readonly action: string;
}
