/** Which jobs a list shows. What is left out does not narrow it. */
export interface JobFilter {
  /** Words that all must occur in make, model, serial, complaint, condition or plan. */
  readonly search?: string | undefined;
  /** true: the archived ones, and only those. */
  readonly archived?: boolean | undefined;
  /** Practice jobs too, or only, or not at all ("none", also where left out). */
  readonly practice?: "too" | "only" | "none" | undefined;
  readonly outcome?: Outcome | undefined;
  readonly make?: string | undefined;
  readonly model?: string | undefined;
  readonly serial?: string | undefined;
  /** ISO 8601 dates, both included. */
  readonly from?: string | undefined;
  readonly to?: string | undefined;
}

/** How a run came out: a check failed; run to its end and none failed; not run to its end. */
export const OUTCOMES = ["failed", "passed", "unfinished"] as const;
export type Outcome = (typeof OUTCOMES)[number];

const OUTCOME_SQL: Readonly<Record<Outcome, string>> = {
  failed: "failed > 0",
  passed: "finished AND failed = 0",
  unfinished: "NOT finished",
};

const PRACTICE_SQL = { too: null, only: "practice", none: "NOT practice" } as const;

/** The filter as a condition on table `job` with parameters `$1`, `$2`, … */
export function conditionOf(filter: JobFilter): { sql: string; parameters: unknown[] } {
  const parameters: unknown[] = [];
  const place = (value: unknown): string => `$${parameters.push(value)}`;
  const words = (filter.search ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  const conditions = [
    `archived = ${place(filter.archived ?? false)}`,
    PRACTICE_SQL[filter.practice ?? "none"],
    ...words.map((word) => `position(${place(word)} in words) > 0`),
    ...(["make", "model", "serial"] as const).map((column) =>
      filter[column] === undefined ? null : `${column} = ${place(filter[column])}`,
    ),
    filter.outcome === undefined ? null : OUTCOME_SQL[filter.outcome],
    filter.from === undefined ? null : `started_at >= ${place(filter.from)}::date`,
    filter.to === undefined ? null : `started_at < ${place(filter.to)}::date + 1`,
  ];
  return { sql: conditions.filter((each) => each !== null).join(" AND "), parameters };
}
