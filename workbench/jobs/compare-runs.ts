import { openColumns } from "../job/columns/cache.js";
import type { TraceWindow } from "../job/columns/trace.js";
import type { JournalEvent } from "../job/journal-event.js";
import { readJob, type JobContent } from "../job/read-job.js";

type Result = Extract<JournalEvent, { kind: "step" }>["result"];

/** A check in two runs of the same tool. */
export interface ComparedStep {
  readonly step: string;
  readonly title: string;
  readonly first: Result | null;
  readonly second: Result | null;
  /** second less first where both have a value in the same unit. */
  readonly change: number | null;
}

/** Two runs, step by step, in the order of the second's plan. Rejects with `job/…`. */
export async function compareRuns(first: string, second: string): Promise<ComparedStep[]> {
  const [before, after] = [await readJob(first), await readJob(second)];
  const [old, now] = [resultsOf(before), resultsOf(after)];
  const titles = new Map(
    [...after.file.plan.steps, ...before.file.plan.steps].map(({ id, title }) => [id, title]),
  );
  return [...titles].flatMap(([step, title]) => {
    const [a, b] = [old.get(step) ?? null, now.get(step) ?? null];
    if (a === null && b === null) return [];
    return [{ step, title, first: a, second: b, change: changeOf(a, b) }];
  });
}

/** The traces of one step in two runs, both from where the step's reading began. */
export interface Overlay {
  /** Seconds since the step's reading began, one a column of pixels. */
  readonly time_s: readonly number[];
  readonly first: Pick<TraceWindow, "low" | "high" | "unit"> | null;
  readonly second: Pick<TraceWindow, "low" | "high" | "unit"> | null;
}

export async function overlaySteps(
  first: string,
  second: string,
  step: string,
  pixels: number,
  programVersion: string,
): Promise<Overlay> {
  const jobs = [await readJob(first), await readJob(second)];
  const results = jobs.map((job) => resultsOf(job).get(step) ?? null);
  const span_s = Math.max(
    ...results.map((result) => (result === null ? 0 : result.ended_s - result.started_s)),
    0.1,
  );
  const windows = await Promise.all(
    jobs.map((job, index) => windowOf(job, results[index] ?? null, span_s, pixels, programVersion)),
  );
  const width_s = (span_s + 2 * MARGIN_S) / pixels;
  return {
    time_s: Array.from({ length: pixels }, (_, n) => (n + 0.5) * width_s - MARGIN_S),
    first: windows[0] ?? null,
    second: windows[1] ?? null,
  };
}

const MARGIN_S = 0.5;

async function windowOf(
  job: JobContent,
  result: Result | null,
  span_s: number,
  pixels: number,
  programVersion: string,
): Promise<TraceWindow | null> {
  const step = job.file.plan.steps.find(({ id }) => id === result?.step);
  if (result === null || step?.kind !== "measure") return null;
  const from_s = result.started_s - MARGIN_S;
  for (const channel of job.traces.keys()) {
    const columns = await openColumns(job.folder, channel, programVersion);
    const to_s = result.started_s + span_s + MARGIN_S;
    const window = columns.window(step.quantity, from_s, to_s, pixels);
    if (window.low.some((value) => value !== null)) return window;
  }
  return null;
}

function resultsOf({ lines }: JobContent): Map<string, Result> {
  return new Map(
    lines.flatMap(({ event }) =>
      event.kind === "step" ? [[event.result.step, event.result] as const] : [],
    ),
  );
}

function changeOf(a: Result | null, b: Result | null): number | null {
  if (a === null || b === null || a.unit !== b.unit) return null;
  return a.value === null || b.value === null ? null : b.value - a.value;
}
