import { join } from "node:path";
import { confirmationOf, deletionWords, isArchived } from "../../../workbench/jobs/folders.js";
import { lastResults } from "../../../workbench/job/last-results.js";
import { readJob, type JobContent } from "../../../workbench/job/read-job.js";
import type { WindowRow } from "./job-rows.js";

/** Everything that a job's page shows but its traces and pictures. */
export async function wholeJob(jobs: string, job: string) {
  const content = await readJob(join(jobs, job));
  const { file, lines, customer, damage, folder } = content;
  const events = lines.map(({ event }) => event);
  const conclusion = events.findLast((event) => event.kind === "conclusion");
  return {
    ...rowOf(job, content, await isArchived(folder)),
    folder,
    planId: file.plan.id,
    customer,
    meters: metersOf(content),
    steps: stepsOf(content),
    photos: events.flatMap((event) =>
      event.kind === "photo"
        ? [{ file: event.file, caption: event.caption, moment: event.moment }]
        : [],
    ),
    notes: events.flatMap((event) =>
      event.kind === "note" ? [{ time_s: event.time_s, words: event.words }] : [],
    ),
    conclusion: conclusion?.words ?? null,
    damage: damage.map((each) => `${each.file}, bytes ${each.at} to ${each.to}: ${each.what}`),
    deletion: {
      confirm: confirmationOf(folder, file.tool.serial),
      words: deletionWords(content),
    },
  };
}

function rowOf(job: string, { file, lines, damage }: JobContent, archived: boolean): WindowRow {
  const verdicts = lastResults(lines).map(({ verdict }) => verdict);
  const count = (wanted: string): number => verdicts.filter((verdict) => verdict === wanted).length;
  const { make, model, serial, complaint, warranty, condition } = file.tool;
  return {
    job,
    startedAt: file.startedAt,
    tool: { make, model, serial, complaint, warranty, condition },
    plan: file.plan.title,
    practice: file.practice,
    archived,
    damaged: damage.length > 0,
    passed: count("pass"),
    failed: count("fail"),
    other: count("borderline") + count("not-judged"),
    finished: lines.some(({ event }) => event.kind === "finished"),
    elsewhere: null,
  };
}

function metersOf({ file, traces }: JobContent) {
  return file.meters.map(({ channel, title, address, calibratedOn, accuracy }) => ({
    channel,
    title: title === "" ? (accuracy?.meter ?? address) : title,
    address,
    calibratedOn: calibratedOn ?? accuracy?.calibrated ?? null,
    traced: traces.has(channel),
  }));
}

function stepsOf({ file, lines }: JobContent) {
  return lastResults(lines).map((result) => {
    const step = file.plan.steps.find(({ id }) => id === result.step);
    const fails = step?.kind === "measure" ? step.means.fail : "";
    return { result, title: step?.title ?? result.step, kind: step?.kind ?? "measure", fails };
  });
}
