import { accuracySchema } from "../../../workbench/measurement/accuracy.js";
import { createJob, type Job, type NewJob } from "../../../workbench/job/job-folder.js";
import { entryOfEvent, entryOfInput } from "../../../workbench/job/journal-entry.js";
import { runnerFor } from "../../../workbench/job/job-runner.js";
import { readerFor } from "../../../workbench/job/derive.js";
import type { JournalEvent } from "../../../workbench/job/journal-event.js";
import type { Runner } from "../../../workbench/plan/runner.js";
import { planSchema } from "../../../workbench/plan/schema.js";
import type { RunEvent, RunInput } from "../../../workbench/plan/run-event.js";
import { chunkAt, newJob } from "./fixtures.js";

const measure = {
  kind: "measure",
  quantity: "voltage",
  coupling: "dc",
  condition: {},
  watch: { kind: "settle" },
} as const;

/** Two measurements and a look: the pack holds its voltage, the charger does not. */
export const samplePlan = planSchema.parse({
  format: "leadhand-plan",
  version: 1,
  id: "sample",
  title: "Sample of a plan",
  revision: "3",
  tool: { kind: "drill", data: { cells: { label: "Cells", unit: "", default: 5 } } },
  points: [
    { id: "pack-plus", label: "Pack plus", part: "pack" },
    { id: "pack-minus", label: "Pack minus", part: "pack" },
    { id: "charger-plus", label: "Charger plus", part: "charger" },
    { id: "charger-minus", label: "Charger minus", part: "charger" },
  ],
  steps: [
    {
      ...measure,
      id: "pack-open",
      title: "Pack, open circuit",
      instruction: "Red on pack plus, black on pack minus.",
      red: "pack-plus",
      black: "pack-minus",
      limits: { low: "cells * 3.5", high: "cells * 4.2", source: "common practice, no source" },
      means: { pass: "The pack holds charge.", fail: "The pack is flat or has a dead cell." },
      cautions: ["pack"],
    },
    {
      ...measure,
      id: "charger-open",
      title: "Charger, open circuit",
      instruction: "Red on charger plus, black on charger minus.",
      red: "charger-plus",
      black: "charger-minus",
      limits: { low: 20, high: 22, source: "common practice, no source" },
      means: { pass: "The charger charges.", fail: "The charger gives too little." },
    },
    {
      kind: "look",
      id: "contacts",
      title: "Contacts",
      instruction: "Look at the contacts of the pack.",
      choices: [
        { id: "clean", label: "Clean", verdict: "pass" },
        { id: "burnt", label: "Burnt", verdict: "fail" },
      ],
    },
  ],
});

const sampleAccuracy = accuracySchema.parse({
  meter: "Example meter",
  calibrated: "2025-11-20",
  lines: [{ quantity: "voltage", coupling: "dc", percentOfReading: 0.5, counts: 3 }],
});

export function sampleJob(changes: Partial<NewJob> = {}): NewJob {
  return newJob({
    plan: samplePlan,
    meters: [
      {
        channel: "a",
        address: "serial:/dev/ttyUSB0?protocol=ascii-line",
        protocol: "ascii-line",
        options: { first: "keep" },
        title: "Example meter EM-1",
        serial: "DEMO-77",
        calibratedOn: "2025-11-20",
        calibrationDue: "2026-11-20",
        certificate: "C-0815",
        accuracy: sampleAccuracy,
      },
    ],
    ...changes,
  });
}

/** What the meter sends, ten lines a second: lifted, on the pack, lifted, on the charger. */
export function* sampleLines(charger_V = 12.1): Generator<{ time_s: number; text: string }> {
  for (let n = 0; n < 120; n++) {
    const time_s = 0.5 + n / 10;
    const phase = Math.floor(n / 30);
    const wobble = ((n * 7) % 3) / 100;
    const value = phase === 1 ? 19.83 + wobble : phase === 3 ? charger_V + wobble : wobble / 2;
    yield { time_s, text: `${value.toFixed(2)} V DC\r\n` };
  }
}

/** Feeds a job and its runner as the bench does: bytes to the log first, then readings. */
export class SampleBench {
  /** Told when they were on disk. */
  readonly told: RunEvent[] = [];
  #tail: Promise<void> = Promise.resolve();
  readonly #job: Job;
  readonly #runner: Runner;
  readonly #reader: NonNullable<ReturnType<typeof readerFor>>;
  readonly #promised: (line: string) => void;
  #bytes = 0;

  /** `promised` hears, as JSON, of each event that is on disk and how many bytes came before it. */
  constructor(
    job: Job,
    runner = runnerFor(job.file, 0),
    promised: (line: string) => void = () => undefined,
  ) {
    this.#job = job;
    this.#runner = runner;
    this.#promised = promised;
    const reader = readerFor(job.file, "a");
    if (reader === null) throw new Error("the sample job has no meter a");
    this.#reader = reader;
  }

  start(): void {
    this.#pass(this.#runner.start());
  }

  bytes(time_s: number, text: string): void {
    const chunk = chunkAt(time_s, text);
    const arrival_ns = chunk.arrival_ns + this.#job.origin_ns;
    this.#job.sink.append("a", { ...chunk, arrival_ns });
    this.#bytes += chunk.bytes.length;
    const { readings, ends } = this.#reader.push(chunk);
    for (const [n, reading] of readings.entries()) {
      this.#job.readTo("a", ends[n] ?? 0);
      this.push({ kind: "reading", reading });
    }
  }

  push(input: RunInput): void {
    this.#record(entryOfInput(input), null);
    this.#pass(this.#runner.push(input));
  }

  /** Resolves when everything is recorded and told; rejects where something is not. */
  settled(): Promise<void> {
    return this.#tail;
  }

  #pass(events: readonly RunEvent[]): void {
    for (const event of events) this.#record(entryOfEvent(event), event);
  }

  #record(entry: JournalEvent | null, event: RunEvent | null): void {
    const bytes = this.#bytes;
    const recorded = entry === null ? Promise.resolve() : this.#job.record(entry);
    this.#tail = Promise.all([this.#tail, recorded]).then(() => {
      if (entry !== null) this.#promised(JSON.stringify({ event: entry, bytes }));
      if (event !== null) this.told.push(event);
    });
  }
}

/** A whole sample run in a folder, closed. */
export async function sampleRun(
  folder: string,
  changes: Partial<NewJob> = {},
  charger_V = 12.1,
): Promise<SampleBench> {
  const job = await createJob(folder, sampleJob(changes));
  const bench = new SampleBench(job);
  bench.start();
  for (const { time_s, text } of sampleLines(charger_V)) bench.bytes(time_s, text);
  bench.push({ kind: "confirm", step: "contacts", choice: "burnt", time_s: 12.6 });
  await bench.settled();
  await job.record({
    kind: "conclusion",
    time_s: 12.7,
    words: "The charger gives too little, the pack is good.",
    parts: [
      {
        id: "charger",
        label: "Charger",
        state: "condemned",
        odds: 0.96,
        reason: "It gives 12.1 V without a load, where 20 V to 22 V are expected.",
      },
      {
        id: "pack",
        label: "Pack",
        state: "cleared",
        odds: 0.01,
        reason: "19.84 V, within limits.",
      },
    ],
  });
  await job.close();
  return bench;
}
