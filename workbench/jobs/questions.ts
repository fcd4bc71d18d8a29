import type { Database } from "./database.js";

/** How often a check fails on a model. Practice jobs do not count. */
export interface FailureCount {
  readonly make: string;
  readonly model: string;
  readonly step: string;
  readonly title: string;
  readonly failed: number;
  /** Runs in which the check was judged at all. */
  readonly judged: number;
}

/** What fails most, by model: the most failures first. */
export async function whatFailsMost(database: Database, most = 20): Promise<FailureCount[]> {
  const rows = await database.rows(
    `SELECT make, model, step, max(title) AS title,
            count(*) FILTER (WHERE verdict = 'fail') AS failed,
            count(*) FILTER (WHERE verdict <> 'not-judged') AS judged
       FROM result JOIN job USING (bench, folder)
      WHERE NOT practice
      GROUP BY make, model, step
     HAVING count(*) FILTER (WHERE verdict = 'fail') > 0
      ORDER BY failed DESC, judged, make, model, step
      LIMIT $1`,
    [most],
  );
  return rows.map((row) => ({
    make: String(row["make"]),
    model: String(row["model"]),
    step: String(row["step"]),
    title: String(row["title"]),
    failed: Number(row["failed"]),
    judged: Number(row["judged"]),
  }));
}

/** One measurement of a pack's resistance. */
export interface ResistancePoint {
  readonly make: string;
  readonly model: string;
  readonly serial: string;
  /** ISO 8601, UTC. */
  readonly at: string;
  /** Ohms. */
  readonly resistance_ohm: number;
  /** Standard uncertainty, ohms; null where the watch does not know it. */
  readonly u_ohm: number | null;
}

/** Narrows a question to tools of one model, or to one tool. */
export interface OfTool {
  readonly model?: string | undefined;
  readonly serial?: string | undefined;
}

/** Resistance of the packs over the years, oldest first; of one model or serial where given. */
export async function packResistance(
  database: Database,
  only: OfTool = {},
): Promise<ResistancePoint[]> {
  const rows = await database.rows(
    `SELECT DISTINCT ON (started_at, bench, folder)
            make, model, serial, started_at, figure.value, figure.u
       FROM figure JOIN job USING (bench, folder)
      WHERE NOT practice AND figure.name = ANY ($1) AND figure.unit = 'Ω'
        AND ($2::text IS NULL OR model = $2) AND ($3::text IS NULL OR serial = $3)
      ORDER BY started_at, bench, folder, figure.name DESC`,
    [RESISTANCE_FIGURES, only.model ?? null, only.serial ?? null],
  );
  return rows.map((row) => ({
    make: String(row["make"]),
    model: String(row["model"]),
    serial: String(row["serial"]),
    at: (row["started_at"] as Date).toISOString(),
    resistance_ohm: Number(row["value"]),
    u_ohm: row["u"] === null ? null : Number(row["u"]),
  }));
}

/** The sag watch's figures for it; where a job has both, the internal one (last by name) counts. */
const RESISTANCE_FIGURES = ["dcResistance", "internalResistance"];
