import { randomBytes } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Clock } from "../../drivers/clock.js";
import { LeadhandError } from "../../protocols/error.js";
import { accuracySchema } from "../../workbench/measurement/accuracy.js";
import type { Accuracy } from "../../workbench/measurement/accuracy.js";
import type { Customer } from "../../workbench/job/job-file.js";
import { refuseUnsafe } from "../../workbench/plan/check.js";
import { loadPlan } from "../../workbench/plan/load.js";
import type { Plan } from "../../workbench/plan/schema.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { programVersion } from "../version.js";
import type { EngineSetup } from "./engine.js";
import { composePractice } from "./practice.js";
import { PRACTICE_ACCURACY, PRACTICE_TOOL } from "./practice-demo.js";

/** What somebody asked to be run: from the window or from the command line. */
export interface RunRequest {
  /** Id of a bundled plan, the path of a plan file, or the plan itself. */
  readonly plan: string | Plan;
  readonly meters: readonly string[];
  /** Made where it does not exist; a new one in the jobs folder where none is named. */
  readonly folder?: string | undefined;
  readonly tool?: EngineSetup["tool"] | undefined;
  readonly customer?: Customer | undefined;
  readonly accuracy?: Accuracy | undefined;
}

export type PreparedRun = Omit<EngineSetup, "emit">;

const UNKNOWN_TOOL = { make: "", model: "", serial: "", complaint: "" };

/** Rejects with a `LeadhandError` where plan, meter address or tool data are not right. */
export async function prepareRun(
  request: RunRequest,
  jobs: string,
  clock: Clock,
): Promise<PreparedRun> {
  const plan = typeof request.plan === "string" ? await planFor(request.plan) : request.plan;
  refuseUnsafe(plan, request.accuracy === undefined ? {} : { accuracy: request.accuracy });
  const practice = composePractice(request.meters, plan, clock, letOthersWork);
  const now = new Date();
  return {
    plan,
    meters: request.meters,
    folder: request.folder ?? join(jobs, folderName(now, plan)),
    tool: request.tool ?? (practice ? PRACTICE_TOOL : UNKNOWN_TOOL),
    customer: request.customer,
    accuracy: request.accuracy ?? (practice ? PRACTICE_ACCURACY : null),
    startedAt: now.toISOString(),
    programVersion: programVersion(),
    practice: practice !== null,
    clock: practice?.bench.clock ?? clock,
    links: practice ? [practice.link] : [],
    ...(practice ? { hand: practice.hand } : {}),
  };
}

/** A bundled plan by its id, or a plan file: what has a dot or a slash in it is a file. */
export async function planFor(idOrFile: string): Promise<Plan> {
  if (!/[./\\]/.test(idOrFile)) return bundledPlan(idOrFile);
  const text = await readFile(idOrFile, "utf8").catch((cause: unknown) => {
    throw new LeadhandError("plan/not-readable", {
      what: `The plan file "${idOrFile}" cannot be read: ${(cause as Error).message}.`,
      action: "Check its path, or name a bundled plan.",
      cause,
    });
  });
  return loadPlan(text, idOrFile);
}

/** Reads a meter's accuracy table; rejects with `input/accuracy`. */
export async function readAccuracy(file: string): Promise<Accuracy> {
  try {
    return accuracySchema.parse(JSON.parse(await readFile(file, "utf8")));
  } catch (cause) {
    throw new LeadhandError("input/accuracy", {
      what: `The accuracy table ${file} cannot be used: ${(cause as Error).message}`,
      action: "Correct it; docs/meters.md shows one.",
      cause,
    });
  }
}

function folderName(now: Date, plan: Plan): string {
  const stamp = now.toISOString().slice(0, 19).replaceAll(":", "").replace("T", "-");
  return `${stamp}-${plan.id}-${randomBytes(2).toString("hex")}`;
}

/** Between two chunks of a practice bench that runs as fast as it can. */
function letOthersWork(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
