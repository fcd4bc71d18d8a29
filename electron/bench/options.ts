import { homedir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { LeadhandError } from "../../protocols/error.js";

/** How a bench process was started, from its arguments and the environment. */
export interface BenchOptions {
  /** What to begin with at once; null: wait at the start screen. */
  readonly begin: { readonly plan: string; readonly meters: readonly string[] } | null;
  /** Folder that holds one folder a job. */
  readonly jobs: string;
}

const known = {
  plan: { type: "string", default: "cordless-brushed" },
  meter: { type: "string", multiple: true },
  fault: { type: "string", multiple: true },
  seed: { type: "string" },
  desk: { type: "boolean", default: false },
  jobs: { type: "string" },
} as const;

/**
 * Without arguments: the practice bench with a fault that nobody has told the technician.
 * Throws `usage/option` for an argument that is not known.
 */
export function benchOptions(
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
): BenchOptions {
  const values = parsed(args);
  const jobs = values.jobs ?? env["LEADHAND_JOBS"] ?? join(homedir(), "leadhand-jobs");
  if (values.desk) return { begin: null, jobs };
  const meters = values.meter ?? [
    practiceAddress(values.plan, values.fault ?? ["any"], values.seed),
  ];
  return { begin: { plan: values.plan, meters }, jobs };
}

/** The address of a practice bench; `any` as a fault lets the bench hide one of its own choice. */
export function practiceAddress(
  kind: string,
  faults: readonly string[],
  seed: string | undefined,
  others: Readonly<Record<string, string>> = {},
): string {
  const query = new URLSearchParams(others);
  if (faults.length > 0) query.set("fault", faults.join(","));
  if (seed !== undefined) query.set("seed", seed);
  return `practice:${kind}?${query.toString().replaceAll("%2C", ",")}`;
}

function parsed(args: readonly string[]) {
  try {
    return parseArgs({ args: [...args], options: known }).values;
  } catch (thrown) {
    throw new LeadhandError("usage/option", {
      what: thrown instanceof Error ? thrown.message : String(thrown),
      action: `Known options: ${Object.keys(known)
        .map((name) => `--${name}`)
        .join(", ")}.`,
      cause: thrown,
    });
  }
}
