import { execFileSync, spawnSync } from "node:child_process";
import { chmodSync, chownSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openDatabase, type Database } from "../../../workbench/jobs/database.js";

/** An engine the same SQL has to run on, opened empty. */
export interface Engine {
  readonly name: string;
  readonly open: () => Promise<Database>;
  readonly stop: () => void;
}

/** PGlite always; PostgreSQL from LEADHAND_DATABASE_URL or from programs of this machine. */
export function engines(): Engine[] {
  const lite = { name: "PGlite", open: () => openDatabase(null, null), stop: () => undefined };
  const url = process.env["LEADHAND_DATABASE_URL"];
  if (url !== undefined) return [lite, serverEngine(url, () => undefined)];
  const server = startServer();
  if (server !== null) return [lite, server];
  console.log("skipped: the tests on PostgreSQL need initdb and pg_ctl, or LEADHAND_DATABASE_URL");
  return [lite];
}

function serverEngine(url: string, stop: () => void): Engine {
  const open = async (): Promise<Database> => {
    const database = await openDatabase(url, null);
    for (const table of ["figure", "result", "job", "leadhand_index"]) {
      await database.rows(`DROP TABLE IF EXISTS ${table} CASCADE`);
    }
    return database;
  };
  return { name: "PostgreSQL", open, stop };
}

/** A server of its own that listens on a socket in a temporary folder only. */
function startServer(): Engine | null {
  if (spawnSync("sh", ["-c", "command -v initdb pg_ctl"]).status !== 0) return null;
  const folder = mkdtempSync(join(tmpdir(), "leadhand-pg-"));
  const data = join(folder, "data");
  try {
    // PostgreSQL refuses to run as root; Debian's package brings a user for it.
    if (process.getuid?.() === 0) {
      const [uid, gid] = ["-u", "-g"].map((flag) => Number(execFileSync("id", [flag, "postgres"])));
      chownSync(folder, uid ?? 0, gid ?? 0);
    }
    chmodSync(folder, 0o700);
    asServer(`initdb -D ${data} -A trust -U bench --no-sync`);
    asServer(
      `pg_ctl -D ${data} -w -l ${data}/log -o "-c listen_addresses='' -k ${folder} -F" start`,
    );
  } catch (thrown) {
    console.log(`skipped: PostgreSQL does not start here (${String(thrown).split("\n")[0] ?? ""})`);
    rmSync(folder, { recursive: true, force: true });
    return null;
  }
  return serverEngine(`postgresql:///postgres?host=${folder}&user=bench`, () => {
    asServer(`pg_ctl -D ${data} -m immediate stop`);
    rmSync(folder, { recursive: true, force: true });
  });
}

function asServer(command: string): void {
  const root = process.getuid?.() === 0;
  const [program, args] = root
    ? (["runuser", ["-u", "postgres", "--", "sh", "-c", command]] as const)
    : (["sh", ["-c", command]] as const);
  execFileSync(program, args, { stdio: "pipe", cwd: tmpdir() });
}
