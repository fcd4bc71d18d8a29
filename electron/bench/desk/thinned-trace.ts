import { LeadhandError } from "../../../protocols/error.js";
import type { TimedReading } from "../../../protocols/reading.js";
import { chunksOf, readingsOf } from "../../../workbench/job/derive.js";
import { readJobFile } from "../../../workbench/job/read-job.js";

interface Bucket {
  unit: string;
  time_s: number;
  low: number | null;
  high: number | null;
}

/**
 * A whole channel in about as many points as the plot has pixels: each with the least and the
 * greatest of its readings, so that no sag is lost. Only the unit read most is drawn; readings in
 * another are gaps, and so is what was off the meter's range.
 */
export async function thinnedTrace(folder: string, channel: string, points: number) {
  const file = await readJobFile(folder);
  if (!file.meters.some((meter) => meter.channel === channel)) throw noChannel(channel);
  const readings: TimedReading[] = [];
  for await (const reading of readingsOf(file, channel, chunksOf(folder))) readings.push(reading);
  const unit = commonest(readings.map((reading) => reading.unit));
  const each = Math.max(1, Math.ceil(readings.length / points));
  const buckets: Bucket[] = [];
  for (let at = 0; at < readings.length; at += each) {
    buckets.push(merged(readings.slice(at, at + each), unit));
  }
  return {
    unit,
    readings: readings.length,
    time_s: buckets.map(({ time_s }) => time_s),
    low: buckets.map(({ low }) => low),
    high: buckets.map(({ high }) => high),
  };
}

function merged(readings: readonly TimedReading[], unit: string): Bucket {
  const values = readings.flatMap((reading) =>
    reading.unit === unit && reading.value !== null ? [reading.value] : [],
  );
  const some = values.length > 0;
  return {
    unit,
    time_s: readings[0]?.time_s ?? 0,
    low: some ? Math.min(...values) : null,
    high: some ? Math.max(...values) : null,
  };
}

function commonest(units: readonly string[]): string {
  const counts = new Map<string, number>();
  for (const unit of units) counts.set(unit, (counts.get(unit) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? "";
}

function noChannel(channel: string): LeadhandError {
  return new LeadhandError("job/no-channel", {
    what: `The job has no meter "${channel}".`,
    action: "Choose one of the meters that the job names.",
  });
}
