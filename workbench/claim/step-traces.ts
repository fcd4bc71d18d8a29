import type { TimedReading } from "../../protocols/reading.js";
import { readingsOf, type ChunkSource } from "../job/derive.js";
import type { JobContent } from "../job/read-job.js";
import { runView, type StepTrace } from "./report/model.js";

/** Time shown before and after what was judged, seconds. */
const MARGIN_S = 1;
/** The longest stretch drawn; what came before it is waiting for the trigger. */
const LONGEST_S = 20;

interface Window {
  readonly step: string;
  readonly from_s: number;
  readonly to_s: number;
  readonly started_s: number;
}

/** The readings around each step whose course matters (sag, change, sweep), for its plot. */
export async function stepTraces(
  job: JobContent,
  chunks: ChunkSource,
): Promise<ReadonlyMap<string, readonly StepTrace[]>> {
  const windows = windowsOf(job);
  const found = new Map<string, StepTrace[]>();
  if (windows.length === 0) return found;
  for (const { channel } of job.file.meters) {
    if (!job.traces.has(channel)) continue;
    const gathered = new Map(windows.map((window) => [window, [] as TimedReading[]]));
    for await (const reading of readingsOf(job.file, channel, chunks)) {
      for (const [{ from_s, to_s }, own] of gathered) {
        if (reading.time_s >= from_s && reading.time_s <= to_s) own.push(reading);
      }
    }
    for (const [window, readings] of gathered) {
      const trace = traceOf(readings, window, channel);
      if (trace !== null) found.set(window.step, [...(found.get(window.step) ?? []), trace]);
    }
  }
  return found;
}

function windowsOf(job: JobContent): Window[] {
  return runView(job).steps.flatMap(({ step, result }) => {
    if (step.kind !== "measure" || step.watch.kind === "settle" || result === null) return [];
    if (result.value === null && result.overload === false) return [];
    const { started_s, ended_s } = result;
    const from_s = Math.max(started_s - MARGIN_S, ended_s - LONGEST_S);
    return [
      { step: step.id, from_s, to_s: ended_s + MARGIN_S, started_s: Math.max(from_s, started_s) },
    ];
  });
}

/** Overload is a gap; a function that the dial passed through is left out. */
function traceOf(
  readings: readonly TimedReading[],
  { started_s }: Window,
  channel: string,
): StepTrace | null {
  const quantity = mostFrequent(readings.map((reading) => reading.quantity));
  const own = readings.filter((reading) => reading.quantity === quantity);
  const unit = own[0]?.unit;
  if (unit === undefined || quantity === null || own.length < 2) return null;
  return {
    unit,
    quantity,
    series: {
      label: `${quantity}, meter ${channel}`,
      time_s: own.map((reading) => reading.time_s - started_s),
      value: own.map((reading) => reading.value),
    },
  };
}

function mostFrequent(names: readonly string[]): string | null {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort(([, a], [, b]) => b - a)[0]?.[0] ?? null;
}
