import { join } from "node:path";
import { toLeadhandError } from "../../protocols/error.js";
import { readJob, type JobContent } from "../job/read-job.js";
import type { Database, Row } from "./database.js";
import { isArchived, jobFolders, stampOf } from "./folders.js";
import { prepareTables } from "./schema.js";

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
  readonly warranty: string;
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

export interface JobFilter {
  /** Words that all must occur in make, model, serial, complaint or plan. */
  readonly search?: string;
  readonly archived?: boolean;
  readonly practice?: boolean;
  readonly verdict?: "failed" | "passed" | "unfinished";
  readonly make?: string;
  readonly model?: string;
  readonly serial?: string;
  /** ISO 8601 dates, both included. */
  readonly from?: string;
  readonly to?: string;
}

export interface Refreshed {
  readonly read: number;
  readonly forgotten: number;
  /** Folders whose job cannot be read, with why. */
  readonly unreadable: readonly { readonly folder: string; readonly why: string }[];
}

/**
 * The list of all jobs: an index over their folders, which hold the truth. `bench` names this
 * bench's part of it where benches share a server.
 */
export class JobIndex {
  readonly #database: Database;
  readonly #bench: string;
  readonly #jobs: string;

  private constructor(database: Database, bench: string, jobs: string) {
    this.#database = database;
    this.#bench = bench;
    this.#jobs = jobs;
  }

  static async open(database: Database, bench: string, jobs: string): Promise<JobIndex> {
    await prepareTables(database);
    return new JobIndex(database, bench, jobs);
  }

  /** Reads the folders that are new or changed, forgets those that are gone. */
  async refresh(): Promise<Refreshed> {
    const known = await this.#database.rows("SELECT folder, stamp FROM job WHERE bench = $1", [
      this.#bench,
    ]);
    const stamps = new Map(known.map((row) => [String(row["folder"]), String(row["stamp"])]));
    const folders = await jobFolders(this.#jobs);
    const unreadable: { folder: string; why: string }[] = [];
    let read = 0;
    for (const folder of folders) {
      const stamp = await stampOf(join(this.#jobs, folder));
      if (stamps.get(folder) === stamp) continue;
      try {
        await this.#take(folder, stamp);
        read += 1;
      } catch (thrown) {
        unreadable.push({ folder, why: toLeadhandError(thrown).message });
      }
    }
    const gone = [...stamps.keys()].filter((folder) => !folders.includes(folder));
    for (const folder of gone) await this.#forget(folder, this.#database);
    return { read, forgotten: gone.length, unreadable };
  }

  /** The newest first; archived and practice jobs only where asked for. */
  async list(filter: JobFilter = {}): Promise<JobRow[]> {
    const { conditions, parameters } = conditionsOf(filter);
    const rows = await this.#database.rows(
      `SELECT * FROM job WHERE ${conditions.join(" AND ")} ORDER BY started_at DESC, folder`,
      parameters,
    );
    return rows.map(jobRow);
  }

  async #take(folder: string, stamp: string): Promise<void> {
    const path = join(this.#jobs, folder);
    const job = await readJob(path);
    const archived = await isArchived(path);
    await this.#database.together(async (database) => {
      await this.#forget(folder, database);
      await this.#insert(folder, stamp, job, archived, database);
    });
  }

  async #forget(folder: string, { rows }: Database): Promise<void> {
    await rows("DELETE FROM job WHERE bench = $1 AND folder = $2", [this.#bench, folder]);
  }

  async #insert(
    folder: string,
    stamp: string,
    job: JobContent,
    archived: boolean,
    { rows }: Database,
  ): Promise<void> {
    const { file, lines, damage } = job;
    const { make, model, serial, complaint, warranty } = file.tool;
    const results = lastResults(job);
    const count = (verdict: string): number =>
      results.filter((result) => result.verdict === verdict).length;
    const finished = lines.some(({ event }) => event.kind === "finished");
    const words = [make, model, serial, complaint, file.plan.title].join(" ").toLowerCase();
    const [passed, failed] = [count("pass"), count("fail")];
    await insert(rows, "job", [
      [this.#bench, folder, file.id, stamp, file.startedAt, make, model, serial],
      [complaint, warranty, file.plan.title, file.practice, archived, finished],
      [passed, failed, results.length - passed - failed, file.repeats, damage.length > 0, words],
    ]);
    for (const { step, verdict, value, unit, uncertainty, details } of results) {
      const title = file.plan.steps.find(({ id }) => id === step)?.title ?? step;
      const key = [this.#bench, folder, step];
      await insert(rows, "result", [key, [title, verdict, value, unit, uncertainty]]);
      for (const [name, detail] of Object.entries(details)) {
        if (detail.value === null) continue;
        await insert(rows, "figure", [key, [name, detail.value, detail.unit, detail.u ?? null]]);
      }
    }
  }
}

/** A step that was repeated counts as it came out last. */
function lastResults({ lines }: JobContent) {
  const last = new Map(
    lines.flatMap(({ event }) =>
      event.kind === "step" ? [[event.result.step, event.result] as const] : [],
    ),
  );
  return [...last.values()];
}

async function insert(
  rows: Database["rows"],
  table: "job" | "result" | "figure",
  values: readonly (readonly unknown[])[],
): Promise<void> {
  const flat = values.flat();
  const places = flat.map((_, index) => `$${index + 1}`).join(", ");
  await rows(`INSERT INTO ${table} VALUES (${places})`, flat);
}

function conditionsOf(filter: JobFilter): { conditions: string[]; parameters: unknown[] } {
  const parameters: unknown[] = [];
  const place = (value: unknown): string => `$${parameters.push(value)}`;
  const conditions = [
    `archived = ${place(filter.archived ?? false)}`,
    ...(filter.practice === true ? [] : ["NOT practice"]),
  ];
  for (const word of (filter.search ?? "").toLowerCase().split(/\s+/).filter(Boolean)) {
    conditions.push(`position(${place(word)} in words) > 0`);
  }
  for (const column of ["make", "model", "serial"] as const) {
    const wanted = filter[column];
    if (wanted !== undefined) conditions.push(`${column} = ${place(wanted)}`);
  }
  if (filter.verdict === "failed") conditions.push("failed > 0");
  if (filter.verdict === "passed") conditions.push("finished AND failed = 0");
  if (filter.verdict === "unfinished") conditions.push("NOT finished");
  if (filter.from !== undefined) conditions.push(`started_at >= ${place(filter.from)}::date`);
  if (filter.to !== undefined) conditions.push(`started_at < ${place(filter.to)}::date + 1`);
  return { conditions, parameters };
}

function jobRow(row: Row): JobRow {
  const text = (name: string): string => String(row[name]);
  return {
    bench: text("bench"),
    folder: text("folder"),
    id: text("id"),
    startedAt: (row["started_at"] as Date).toISOString(),
    make: text("make"),
    model: text("model"),
    serial: text("serial"),
    complaint: text("complaint"),
    warranty: text("warranty"),
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
