import { openColumns } from "../job/columns/cache.js";
import type { TraceWindow } from "../job/columns/trace.js";
import { lastResults, type RecordedStep } from "../job/last-results.js";
import type { Step } from "../plan/schema.js";
import { readRecord, type JobRecord } from "../job/read-job.js";

/** A check in two runs of the same tool. */
export interface ComparedStep {
  readonly step: string;
  readonly title: string;
  readonly first: RecordedStep | null;
  readonly second: RecordedStep | null;
  /** A step that measures has traces that can be laid over each other. */
  readonly kind: Step["kind"];
  /** second less first where both have a value in the same unit. */
  readonly change: number | null;
}

/** Two runs, step by step, in the order of the second's plan. Rejects with `job/…`. */
export async function compareRuns(first: string, second: string): Promise<ComparedStep[]> {
  const [before, after] = [await readRecord(first), await readRecord(second)];
  const [old, now] = [resultsOf(before), resultsOf(after)];
  const steps = new Map(
    [...before.file.plan.steps, ...after.file.plan.steps].map((step) => [step.id, step]),
  );
  const order = [...after.file.plan.steps, ...before.file.plan.steps].map(({ id }) => id);
  return [...new Set(order)].flatMap((step) => {
    const [a, b] = [old.get(step) ?? null, now.get(step) ?? null];
    if (a === null && b === null) return [];
    const { title = step, kind = "measure" } = steps.get(step) ?? {};
    return [{ step, title, kind, first: a, second: b, change: changeOf(a, b) }];
  });
}

/** The traces of one step in two runs, both from where the step's reading began. */
export interface Overlay {
  /** What both are drawn over, seconds since the step's reading began. */
  readonly from_s: number;
  readonly to_s: number;
  readonly first: Curve | null;
  readonly second: Curve | null;
}

/** Least and greatest of each column of pixels that has readings; null: no line goes across. */
export interface Curve {
  readonly unit: string;
  readonly time_s: number[];
  readonly low: (number | null)[];
  readonly high: (number | null)[];
}

export async function overlaySteps(
  first: string,
  second: string,
  step: string,
  pixels: number,
  programVersion: string,
): Promise<Overlay> {
  const jobs = [await readRecord(first), await readRecord(second)];
  const results = jobs.map((job) => resultsOf(job).get(step) ?? null);
  const spans = results.map((result) => (result === null ? 0 : result.ended_s - result.started_s));
  const [from_s, to_s] = [-MARGIN_S, Math.max(...spans, 0.1) + MARGIN_S];
  const [a = null, b = null] = await Promise.all(
    jobs.map((job, index) =>
      curveOf(job, results[index] ?? null, { from_s, to_s, pixels }, programVersion),
    ),
  );
  return { from_s, to_s, first: a, second: b };
}

const MARGIN_S = 0.5;
/** Longer without a value is a gap, whatever the meter's pace. */
const LONGEST_PACE_S = 1;

interface View {
  readonly from_s: number;
  readonly to_s: number;
  readonly pixels: number;
}

async function curveOf(
  job: JobRecord,
  result: RecordedStep | null,
  { from_s, to_s, pixels }: View,
  programVersion: string,
): Promise<Curve | null> {
  const step = job.file.plan.steps.find(({ id }) => id === result?.step);
  if (result === null || step?.kind !== "measure") return null;
  const zero_s = result.started_s;
  for (const { channel } of job.file.meters) {
    const columns = await openColumns(job.folder, channel, programVersion).catch(() => null);
    const window = columns?.window(step.quantity, zero_s + from_s, zero_s + to_s, pixels);
    if (window?.low.some((value) => value !== null)) return curve(window, zero_s);
  }
  return null;
}

/** A slow meter leaves most columns empty: its line goes from reading to reading. */
function curve({ unit, time_s, low, high }: TraceWindow, zero_s: number): Curve {
  const drawn: Curve = { unit, time_s: [], low: [], high: [] };
  const add = (at_s: number, least: number | null, greatest: number | null): void => {
    drawn.time_s.push(at_s);
    drawn.low.push(least);
    drawn.high.push(greatest);
  };
  for (const [index, at_s] of time_s.entries()) {
    const [least = null, greatest = null] = [low[index], high[index]];
    if (least === null || greatest === null) continue;
    const last_s = drawn.time_s.at(-1) ?? Infinity;
    if (at_s - zero_s - last_s > LONGEST_PACE_S) add(at_s - zero_s, null, null);
    add(at_s - zero_s, least, greatest);
  }
  return drawn;
}

function resultsOf({ lines }: JobRecord): Map<string, RecordedStep> {
  return new Map(lastResults(lines).map((result) => [result.step, result]));
}

function changeOf(a: RecordedStep | null, b: RecordedStep | null): number | null {
  if (a === null || b === null || a.unit !== b.unit) return null;
  return a.value === null || b.value === null ? null : b.value - a.value;
}
