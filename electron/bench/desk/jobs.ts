import { readdir } from "node:fs/promises";
import { join } from "node:path";
import { toLeadhandError } from "../../../protocols/error.js";
import { JOURNAL_FILE, readJournal } from "../../../workbench/job/journal-read.js";
import type { JournalLine } from "../../../workbench/job/journal-line.js";
import { nodeDisk } from "../../../workbench/job/disk.js";
import type { JobFile } from "../../../workbench/job/job-file.js";
import { readJob, readJobFile } from "../../../workbench/job/read-job.js";
import type { Handlers } from "../calls-server.js";
import { thinnedTrace } from "./thinned-trace.js";

/** Jobs as they lie in their folders; nothing is changed and nothing is locked. */
export function jobHandlers(jobs: string) {
  return {
    listJobs: ({ search }) => listJobs(jobs, search),
    readJob: ({ job }) => wholeJob(jobs, job),
    readTrace: ({ job, channel, points }) => thinnedTrace(join(jobs, job), channel, points),
  } satisfies Handlers;
}

type Row = ReturnType<typeof rowOf>;

async function listJobs(jobs: string, search: string) {
  const found: Row[] = [];
  const unreadable: { job: string; why: string }[] = [];
  for (const name of await jobNames(jobs)) {
    try {
      const folder = join(jobs, name);
      found.push(rowOf(name, await readJobFile(folder), await linesOf(folder)));
    } catch (thrown) {
      unreadable.push({ job: name, why: toLeadhandError(thrown).message });
    }
  }
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  const fitting = found.filter((row) => words.every((word) => textOf(row).includes(word)));
  return {
    jobs: fitting.sort((a, b) => b.startedAt.localeCompare(a.startedAt)),
    unreadable,
  };
}

/** Folders of jobs: what has no job.json is something else. */
async function jobNames(jobs: string): Promise<string[]> {
  const entries = await readdir(jobs, { withFileTypes: true }).catch(() => []);
  const folders = entries.filter((entry) => entry.isDirectory()).map(({ name }) => name);
  const inside = await Promise.all(
    folders.map(async (name) => {
      const files = await readdir(join(jobs, name)).catch((): string[] => []);
      return files.includes("job.json") ? [name] : [];
    }),
  );
  return inside.flat();
}

async function linesOf(folder: string): Promise<readonly JournalLine[]> {
  const bytes = await nodeDisk.readWhole(join(folder, JOURNAL_FILE));
  return bytes === null ? [] : readJournal(bytes).lines;
}

function rowOf(job: string, file: JobFile, lines: readonly JournalLine[]) {
  const verdicts = resultsOf(lines).map(({ verdict }) => verdict);
  const count = (wanted: string): number => verdicts.filter((verdict) => verdict === wanted).length;
  const { make, model, serial, complaint, warranty, condition } = file.tool;
  return {
    job,
    startedAt: file.startedAt,
    tool: { make, model, serial, complaint, warranty, condition },
    plan: file.plan.title,
    practice: file.practice,
    passed: count("pass"),
    failed: count("fail"),
    other: count("borderline") + count("not-judged"),
    finished: lines.some(({ event }) => event.kind === "finished"),
  };
}

/** A step that was repeated counts as it came out last. */
function resultsOf(lines: readonly JournalLine[]) {
  const last = new Map(
    lines.flatMap(({ event }) =>
      event.kind === "step" ? [[event.result.step, event.result] as const] : [],
    ),
  );
  return [...last.values()];
}

function textOf({ tool, plan, startedAt }: Row): string {
  return [...Object.values(tool), plan, startedAt].join(" ").toLowerCase();
}

async function wholeJob(jobs: string, job: string) {
  const content = await readJob(join(jobs, job));
  const { file, lines, customer, traces, damage, folder } = content;
  const conclusions = lines.flatMap(({ event }) =>
    event.kind === "conclusion" ? [event.words] : [],
  );
  return {
    ...rowOf(job, file, lines),
    folder,
    customer,
    meters: file.meters.map(({ channel, title, address, calibratedOn, accuracy }) => ({
      channel,
      title: title === "" ? (accuracy?.meter ?? address) : title,
      address,
      calibratedOn: calibratedOn ?? accuracy?.calibrated ?? null,
      traced: traces.has(channel),
    })),
    steps: resultsOf(lines).map((result) => {
      const step = file.plan.steps.find(({ id }) => id === result.step);
      const fails = step?.kind === "measure" ? step.means.fail : "";
      return { result, title: step?.title ?? result.step, kind: step?.kind ?? "measure", fails };
    }),
    conclusion: conclusions.at(-1) ?? null,
    damage: damage.map((each) => `${each.file}, bytes ${each.at} to ${each.to}: ${each.what}`),
  };
}
