import { hostname } from "node:os";
import type { IndexPlace } from "../../workbench/jobs/shop-index.js";

/** Where this machine's index of jobs is, from the environment. */
export function indexPlace(
  jobs: string,
  env: Readonly<Record<string, string | undefined>>,
): IndexPlace {
  const url = env["LEADHAND_DATABASE_URL"] ?? "";
  // The index beside the jobs is of this folder alone, whatever the machine is called today.
  if (url === "") return { jobs, bench: "", url: null };
  return { jobs, bench: env["LEADHAND_BENCH"] ?? hostname(), url };
}
