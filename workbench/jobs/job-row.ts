import type { Row } from "./database.js";

/** A job as lists show it. */
export interface JobRow {
  readonly bench: string;
  readonly folder: string;
  readonly id: string;
  /** ISO 8601, UTC. */
  readonly startedAt: string;
  readonly make: string;
  readonly model: string;
  readonly serial: string;
  readonly complaint: string;
  readonly condition: string;
  readonly warranty: "warranty" | "paid" | "unknown";
  readonly plan: string;
  readonly practice: boolean;
  readonly archived: boolean;
  readonly finished: boolean;
  readonly passed: number;
  readonly failed: number;
  readonly other: number;
  /** Id of the job it repeats after a repair. */
  readonly repeats: string | null;
  readonly damaged: boolean;
}

export function jobRow(row: Row): JobRow {
  const text = (name: string): string => String(row[name]);
  const warranty = text("warranty");
  return {
    bench: text("bench"),
    folder: text("folder"),
    id: text("id"),
    startedAt: (row["started_at"] as Date).toISOString(),
    make: text("make"),
    model: text("model"),
    serial: text("serial"),
    complaint: text("complaint"),
    condition: text("condition"),
    warranty: warranty === "warranty" || warranty === "paid" ? warranty : "unknown",
    plan: text("plan"),
    practice: row["practice"] === true,
    archived: row["archived"] === true,
    finished: row["finished"] === true,
    passed: Number(row["passed"]),
    failed: Number(row["failed"]),
    other: Number(row["other"]),
    repeats: row["repeats"] === null ? null : text("repeats"),
    damaged: row["damaged"] === true,
  };
}
