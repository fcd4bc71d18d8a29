import type { Database } from "./database.js";

/** Another number, and every bench throws its part of the index away and reads its folders again. */
const VERSION = 2;

const TABLES = [
  `CREATE TABLE job (
     bench text NOT NULL, folder text NOT NULL, id text NOT NULL, stamp text NOT NULL,
     started_at timestamptz NOT NULL, make text NOT NULL, model text NOT NULL,
     serial text NOT NULL, complaint text NOT NULL, condition text NOT NULL,
     warranty text NOT NULL, plan text NOT NULL,
     practice boolean NOT NULL, archived boolean NOT NULL, finished boolean NOT NULL,
     passed integer NOT NULL, failed integer NOT NULL, other integer NOT NULL,
     repeats text, damaged boolean NOT NULL, words text NOT NULL,
     PRIMARY KEY (bench, folder))`,
  `CREATE TABLE result (
     bench text NOT NULL, folder text NOT NULL, step text NOT NULL, title text NOT NULL,
     verdict text NOT NULL, value double precision, unit text NOT NULL,
     uncertainty double precision,
     PRIMARY KEY (bench, folder, step),
     FOREIGN KEY (bench, folder) REFERENCES job ON DELETE CASCADE)`,
  `CREATE TABLE figure (
     bench text NOT NULL, folder text NOT NULL, step text NOT NULL, name text NOT NULL,
     value double precision NOT NULL, unit text NOT NULL, u double precision,
     PRIMARY KEY (bench, folder, step, name),
     FOREIGN KEY (bench, folder) REFERENCES job ON DELETE CASCADE)`,
  "CREATE INDEX job_tool ON job (make, model, serial)",
  "CREATE INDEX job_started ON job (started_at)",
];

/** Makes the tables where they are missing or of another version; the folders fill them again. */
export async function prepareTables(database: Database): Promise<void> {
  await database.rows("CREATE TABLE IF NOT EXISTS leadhand_index (version integer NOT NULL)");
  await database.together(async ({ rows }) => {
    // Two benches that start at once on one server: the second waits and finds the tables made.
    await rows("LOCK TABLE leadhand_index IN EXCLUSIVE MODE");
    const [row] = await rows("SELECT version FROM leadhand_index");
    if (row?.["version"] === VERSION) return;
    for (const table of ["figure", "result", "job"]) await rows(`DROP TABLE IF EXISTS ${table}`);
    for (const statement of TABLES) await rows(statement);
    await rows("DELETE FROM leadhand_index");
    await rows("INSERT INTO leadhand_index VALUES ($1)", [VERSION]);
  });
}
