import { randomBytes } from "node:crypto";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { parseAddress } from "../../drivers/address.js";
import type { Clock } from "../../drivers/clock.js";
import { openPlayback } from "../../drivers/recorded/playback.js";
import { LeadhandError } from "../../protocols/error.js";
import { accuracySchema } from "../../workbench/measurement/accuracy.js";
import type { Order } from "../../workbench/contract/orders.js";
import type { Accuracy } from "../../workbench/measurement/accuracy.js";
import type { Customer } from "../../workbench/job/job-file.js";
import { readJob } from "../../workbench/job/read-job.js";
import { refuseUnsafe } from "../../workbench/plan/check.js";
import { loadPlan } from "../../workbench/plan/load.js";
import type { Plan } from "../../workbench/plan/schema.js";
import { bundledPlan } from "../../workbench/plans/bundled.js";
import { programVersion } from "../version.js";
import type { EngineSetup } from "./engine-types.js";
import { identifyMeters } from "./identify-meters.js";
import { composePractice } from "./practice.js";
import { PRACTICE_ACCURACY, PRACTICE_TOOL } from "./practice-demo.js";
import { WorkInHand } from "./work-in-hand.js";

/** What somebody asked to be run: from the window or from the command line. */
export interface RunRequest {
  /** Id of a bundled plan, the path of a plan file, or the plan itself. */
  readonly plan: string | Plan;
  readonly meters: readonly string[];
  /** Made where it does not exist; a new one in the jobs folder where none is named. */
  readonly folder?: string | undefined;
  readonly tool?: EngineSetup["tool"] | undefined;
  readonly customer?: Customer | undefined;
  /** Accuracy table of each meter, in their order. */
  readonly accuracies?: readonly (Accuracy | null)[] | undefined;
  /** The order that the run begins with; the plan's where nothing is said. */
  readonly order?: Order | undefined;
  /** Id of the job that this run repeats after a repair. */
  readonly repeats?: string | undefined;
}

export type PreparedRun = Omit<EngineSetup, "emit" | "reasoning">;

const UNKNOWN_TOOL = { make: "", model: "", serial: "", complaint: "" };

/** Rejects with a `LeadhandError` where plan, meter address or tool data are not right. */
export async function prepareRun(
  request: RunRequest,
  jobs: string,
  clock: Clock,
): Promise<PreparedRun> {
  const plan = typeof request.plan === "string" ? await planFor(request.plan) : request.plan;
  refuseFor(plan, request.accuracies);
  const meters = await identifyMeters(request.meters.map((address) => seeded(address, clock)));
  const around = await surroundings(meters, plan, clock);
  const { practice } = around;
  const now = new Date();
  return {
    plan,
    meters,
    folder: request.folder ?? join(jobs, folderName(now, plan)),
    goOn: false,
    experience: null,
    repeats: request.repeats ?? null,
    order: request.order ?? "fixed",
    tool: request.tool ?? (practice ? PRACTICE_TOOL : UNKNOWN_TOOL),
    customer: request.customer,
    accuracies: request.accuracies ?? (practice ? [PRACTICE_ACCURACY] : []),
    startedAt: now.toISOString(),
    programVersion: programVersion(),
    ...around,
  };
}

/**
 * An interrupted job, to go on with: plan, tool, meters and accuracy as they were recorded. Rejects
 * with `job/…`.
 */
export async function prepareGoOn(folder: string, clock: Clock): Promise<PreparedRun> {
  const { file, lines } = await readJob(folder);
  const has = (kind: string) => lines.some(({ event }) => event.kind === kind);
  if (has("finished") && has("conclusion")) throw nothingLeft(folder);
  const { plan, tool } = file;
  const meters = file.meters.map(({ address }) => address);
  const accuracies = file.meters.map(({ accuracy }) => accuracy);
  refuseFor(plan, accuracies);
  return {
    plan,
    meters,
    folder,
    goOn: true,
    experience: file.experience,
    repeats: file.repeats,
    // Its journal knows.
    order: "fixed",
    tool,
    accuracies,
    startedAt: file.startedAt,
    programVersion: programVersion(),
    ...(await surroundings(meters, plan, clock)),
    practice: file.practice,
  };
}

type Surroundings = Pick<
  PreparedRun,
  "practice" | "recorded" | "clock" | "links" | "hand" | "hold"
>;

/** What the meters bring with them: a simulated tool and its time, or the time of recordings. */
async function surroundings(
  meters: readonly string[],
  plan: Plan,
  clock: Clock,
): Promise<Surroundings> {
  const { idle, hold } = new WorkInHand();
  const practice = composePractice(meters, plan, clock, idle);
  if (practice !== null) {
    const { bench, link, hand } = practice;
    return { practice: true, recorded: false, clock: bench.clock, links: [link], hand, hold };
  }
  const playback = await openPlayback(meters, clock, idle);
  if (playback === null) return { practice: false, recorded: false, clock, links: [] };
  return { practice: false, recorded: true, clock: playback.clock, links: [playback.link], hold };
}

/** Whether limits can be met is told by the first meter; a second one serves few steps. */
function refuseFor(plan: Plan, accuracies: PreparedRun["accuracies"] = []): void {
  const [accuracy = null] = accuracies;
  refuseUnsafe(plan, accuracy === null ? {} : { accuracy });
}

function nothingLeft(folder: string): LeadhandError {
  return new LeadhandError("job/finished", {
    what: `The plan of the job ${folder} was run to its end.`,
    action: "To measure again, run the plan anew as a repeat of this job.",
  });
}

/** A practice bench that goes on has to hide the same fault: its seed is written down. */
function seeded(address: string, clock: Clock): string {
  const { scheme, options } = parseAddress(address);
  if (scheme !== "practice" || options.has("seed")) return address;
  const seed = Number(clock.now_ns() % 1_000_000n);
  return `${address}${address.includes("?") ? "&" : "?"}seed=${seed}`;
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
