import { join } from "node:path";
import { toLeadhandError } from "../../protocols/error.js";
import { lastResults } from "../job/last-results.js";
import { readRecord, type JobRecord } from "../job/read-job.js";
import type { Database } from "./database.js";
import { isArchived, jobFolders, stampOf } from "./folders.js";
import { conditionOf, type JobFilter } from "./job-filter.js";
import { jobRow, type JobRow } from "./job-row.js";
import { prepareTables } from "./schema.js";

export interface Refreshed {
  readonly read: number;
  readonly forgotten: number;
  /** Folders whose job cannot be read, with why. */
  readonly unreadable: readonly { readonly folder: string; readonly why: string }[];
}

export interface JobList {
  readonly rows: readonly JobRow[];
  /** How many jobs fit the filter; `rows` may be the newest of them only. */
  readonly total: number;
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
      const why = await this.#take(folder, stamp);
      if (why === null) read += 1;
      else unreadable.push({ folder, why });
    }
    const gone = [...stamps.keys()].filter((folder) => !folders.includes(folder));
    for (const folder of gone) await this.#forget(folder, this.#database);
    return { read, forgotten: gone.length, unreadable };
  }

  /** The newest first. */
  async list(filter: JobFilter = {}, most = 500): Promise<JobList> {
    const { sql, parameters } = conditionOf(filter);
    const rows = await this.#database.rows(
      `SELECT *, count(*) OVER () AS total FROM job WHERE ${sql}
        ORDER BY started_at DESC, folder LIMIT ${most}`,
      parameters,
    );
    return { rows: rows.map(jobRow), total: Number(rows[0]?.["total"] ?? 0) };
  }

  /** Why the folder cannot be read, or null; an index that fails is no fault of the folder. */
  async #take(folder: string, stamp: string): Promise<string | null> {
    const path = join(this.#jobs, folder);
    let job: JobRecord;
    try {
      job = await readRecord(path);
    } catch (thrown) {
      return toLeadhandError(thrown).message;
    }
    const archived = await isArchived(path);
    await this.#database.together(async (database) => {
      await this.#forget(folder, database);
      await this.#insert(folder, stamp, job, archived, database);
    });
    return null;
  }

  async #forget(folder: string, { rows }: Database): Promise<void> {
    await rows("DELETE FROM job WHERE bench = $1 AND folder = $2", [this.#bench, folder]);
  }

  async #insert(
    folder: string,
    stamp: string,
    { file, lines, journal: { damage } }: JobRecord,
    archived: boolean,
    { rows }: Database,
  ): Promise<void> {
    const { make, model, serial, complaint, condition, warranty } = file.tool;
    const results = lastResults(lines);
    const count = (verdict: string): number =>
      results.filter((result) => result.verdict === verdict).length;
    const finished = lines.some(({ event }) => event.kind === "finished");
    const words = [make, model, serial, complaint, condition, file.plan.title].join(" ");
    const [passed, failed] = [count("pass"), count("fail")];
    const job = [
      [this.#bench, folder, file.id, stamp, file.startedAt, make, model, serial],
      [complaint, condition, warranty, file.plan.title, file.practice, archived, finished],
      [passed, failed, results.length - passed - failed, file.repeats, damage.length > 0],
      [words.toLowerCase()],
    ];
    await insertAll(rows, "job", [job.flat()]);
    const key = [this.#bench, folder];
    await insertAll(
      rows,
      "result",
      results.map(({ step, verdict, value, unit, uncertainty }) => {
        const title = file.plan.steps.find(({ id }) => id === step)?.title ?? step;
        return [...key, step, title, verdict, value, unit, uncertainty];
      }),
    );
    const figures = results.flatMap(({ step, details }) =>
      Object.entries(details).map(([name, { value, unit, u }]) => ({ step, name, value, unit, u })),
    );
    await insertAll(
      rows,
      "figure",
      figures.flatMap(({ step, name, value, unit, u }) =>
        value === null ? [] : [[...key, step, name, value, unit, u ?? null]],
      ),
    );
  }
}

/** Rows of a table, many in one statement. */
async function insertAll(
  rows: Database["rows"],
  table: "job" | "result" | "figure",
  lines: readonly (readonly unknown[])[],
): Promise<void> {
  for (let at = 0; at < lines.length; at += MOST_LINES) {
    const some = lines.slice(at, at + MOST_LINES);
    let place = 0;
    const tuples = some.map((line) => `(${line.map(() => `$${++place}`).join(", ")})`);
    await rows(`INSERT INTO ${table} VALUES ${tuples.join(", ")}`, some.flat());
  }
}

/** Far below the 65,535 parameters of one statement. */
const MOST_LINES = 1000;
