import { LeadhandError } from "../../protocols/error.js";

/** One SQL (PostgreSQL's), two engines: PGlite in this process, or a server for many benches. */
export interface Database {
  /** Rows of a statement with parameters `$1`, `$2`, … */
  readonly rows: (sql: string, parameters?: readonly unknown[]) => Promise<readonly Row[]>;
  /** Runs `work` as one transaction: all of it counts, or nothing. */
  together(work: (database: Database) => Promise<void>): Promise<void>;
  close(): Promise<void>;
}

export type Row = Readonly<Record<string, unknown>>;

/**
 * `url`: a PostgreSQL server (`postgresql://…`); null: PGlite, kept in `folder`, or in memory
 * where that is null too. Rejects with `job/no-database`.
 */
export async function openDatabase(url: string | null, folder: string | null): Promise<Database> {
  try {
    return url === null ? await openInProcess(folder) : await openServer(url);
  } catch (thrown) {
    throw new LeadhandError("job/no-database", {
      what: `The index of jobs cannot be opened (${thrown instanceof Error ? thrown.message : String(thrown)}).`,
      action:
        url === null
          ? "The jobs themselves are not touched. Delete the folder of the index: it is made anew."
          : "The jobs themselves are not touched. Check LEADHAND_DATABASE_URL and that the server runs.",
      cause: thrown,
    });
  }
}

/** Loaded here and not above: whoever asks nothing of the index does not pay for its engine. */
async function openInProcess(folder: string | null): Promise<Database> {
  const { PGlite } = await import("@electric-sql/pglite");
  const lite = await (folder === null ? PGlite.create() : PGlite.create(folder));
  const rows: Database["rows"] = async (sql, parameters = []) =>
    (await lite.query<Row>(sql, [...parameters])).rows;
  return withTransactions(rows, () => lite.close());
}

async function openServer(url: string): Promise<Database> {
  const { default: pg } = await import("pg");
  const client = new pg.Client({ connectionString: url, connectionTimeoutMillis: 5_000 });
  // A connection that breaks while nobody asks: the next question meets the error and says so.
  client.on("error", () => undefined);
  await client.connect();
  const rows: Database["rows"] = async (sql, parameters = []) =>
    (await client.query<Row>(sql, [...parameters])).rows;
  return withTransactions(rows, () => client.end());
}

function withTransactions(rows: Database["rows"], close: () => Promise<void>): Database {
  const database: Database = {
    rows,
    close,
    async together(work) {
      await rows("BEGIN");
      try {
        await work(database);
        await rows("COMMIT");
      } catch (thrown) {
        await rows("ROLLBACK");
        throw thrown;
      }
    },
  };
  return database;
}
