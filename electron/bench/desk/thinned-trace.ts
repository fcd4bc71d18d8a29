import { LeadhandError } from "../../../protocols/error.js";
import type { TimedReading } from "../../../protocols/reading.js";
import { chunksOf, readingsOf } from "../../../workbench/job/derive.js";
import { readJobFile } from "../../../workbench/job/read-job.js";

/** The readings that one moment of the drawing stands for. */
type Bucket = readonly TimedReading[];

/**
 * A whole channel in about as many points as the plot has pixels: each with the least and the
 * greatest of its readings, so that no sag is lost. One line a unit; where the meter read in
 * another, or off its range, a line has a gap.
 */
export async function thinnedTrace(folder: string, channel: string, points: number) {
  const file = await readJobFile(folder);
  if (!file.meters.some((meter) => meter.channel === channel)) throw noChannel(channel);
  const readings: TimedReading[] = [];
  for await (const reading of readingsOf(file, channel, chunksOf(folder))) readings.push(reading);
  const each = Math.max(1, Math.ceil(readings.length / points));
  const buckets: Bucket[] = [];
  for (let at = 0; at < readings.length; at += each) buckets.push(readings.slice(at, at + each));
  return {
    readings: readings.length,
    time_s: buckets.map(([first]) => first?.time_s ?? 0),
    lines: unitsOf(readings).map(([unit, count]) => ({
      unit,
      readings: count,
      low: buckets.map((bucket) => extreme(bucket, unit, Math.min)),
      high: buckets.map((bucket) => extreme(bucket, unit, Math.max)),
    })),
  };
}

function extreme(
  bucket: Bucket,
  unit: string,
  of: (a: number, b: number) => number,
): number | null {
  let found: number | null = null;
  for (const reading of bucket) {
    if (reading.unit !== unit || reading.value === null) continue;
    found = found === null ? reading.value : of(found, reading.value);
  }
  return found;
}

/** Each unit with how many numbers were read in it, the commonest first. */
function unitsOf(readings: readonly TimedReading[]): readonly (readonly [string, number])[] {
  const counts = new Map<string, number>();
  for (const { unit, value } of readings) {
    if (value !== null) counts.set(unit, (counts.get(unit) ?? 0) + 1);
  }
  return [...counts].sort((a, b) => b[1] - a[1]);
}

function noChannel(channel: string): LeadhandError {
  return new LeadhandError("job/no-channel", {
    what: `The job has no meter "${channel}".`,
    action: "Choose one of the meters that the job names.",
  });
}
