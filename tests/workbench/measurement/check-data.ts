import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

const folder =
  process.env["LEADHAND_CHECK_DATA"] ?? join(import.meta.dirname, "../../../../shared/check-data");

/** A file of published values kept beside the repository; null, with a printed reason, where absent. */
export function checkData(name: string): unknown {
  const path = join(folder, name);
  if (existsSync(path)) return JSON.parse(readFileSync(path, "utf8"));
  console.warn(`skipped: published values ${name} are not on this machine (LEADHAND_CHECK_DATA)`);
  return null;
}
