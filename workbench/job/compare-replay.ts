import { canonicalJson } from "./canonical-json.js";
import { compareConclusion, type ConclusionCompared } from "./compare-conclusion.js";
import { chunksOf } from "./derive.js";
import type { JournalEvent } from "./journal-event.js";
import type { RecordedStep } from "./last-results.js";
import type { Damage } from "./journal-read.js";
import { readJob } from "./read-job.js";
import { rederive, type ReplaySource } from "./replay.js";

type Result = RecordedStep;

/** One step that comes out otherwise today. */
export interface Difference {
  readonly step: string;
  /** 1 for the first time the step was taken. */
  readonly attempt: number;
  /** null: the replay comes to a step that was not recorded, or the other way round. */
  readonly recorded: Result | null;
  readonly now: Result | null;
  /** Fields of the result that differ; empty where one of the two is missing. */
  readonly fields: readonly string[];
  readonly why: string;
}

export interface ReplayReport {
  readonly agrees: boolean;
  readonly steps: number;
  readonly readings: number;
  readonly differences: readonly Difference[];
  /** Version that recorded the job, and this one. */
  readonly recordedBy: string;
  readonly replayedBy: string;
  readonly damage: readonly Damage[];
  /** What was concluded of the parts; null where no conclusion was recorded. */
  readonly conclusion: ConclusionCompared | null;
  /** Steps that follow from raw bytes behind the last line: the run was interrupted there. */
  readonly unrecorded: readonly string[];
}

/** Derives a job's verdicts again and compares them with its journal. Rejects with `job/…`. */
export async function replayJob(folder: string, programVersion: string): Promise<ReplayReport> {
  const { file, lines, traces, damage } = await readJob(folder);
  const source = { file, lines, channels: [...traces.keys()], chunks: chunksOf(folder) };
  return compareReplay(source, damage, programVersion);
}

export async function compareReplay(
  source: ReplaySource,
  damage: readonly Damage[],
  programVersion: string,
): Promise<ReplayReport> {
  const { events, unrecorded, readings } = await rederive(source);
  const journal = source.lines.map(({ event }) => event);
  const recorded = resultsOf(journal);
  const again = resultsOf(events.slice(0, events.length - unrecorded));
  const late = resultsOf(events.slice(events.length - unrecorded));
  const { programVersion: recordedBy } = source.file;
  const differences = compare(recorded, [...again, ...late], again.length).map((difference) => ({
    ...difference,
    why: whyOf(difference, damage, recordedBy, programVersion),
  }));
  const conclusion = compareConclusion(source.file, journal, again);
  return {
    agrees: differences.length === 0 && conclusion?.agrees !== false,
    steps: recorded.length,
    readings,
    differences,
    recordedBy,
    replayedBy: programVersion,
    damage,
    conclusion,
    unrecorded: late.slice(Math.max(0, recorded.length - again.length)).map(({ step }) => step),
  };
}

/** Pairs results by step and attempt. What the replay finds late was never recorded: no difference. */
function compare(
  recorded: readonly Result[],
  again: readonly Result[],
  inTime: number,
): Omit<Difference, "why">[] {
  const now = numbered(again);
  const then = numbered(recorded);
  const differences = [...then].flatMap(([key, { result, step, attempt }]) => {
    const other = now.get(key)?.result ?? null;
    const fields = other === null ? [] : differingFields(result, other);
    if (other !== null && fields.length === 0) return [];
    return [{ step, attempt, recorded: result, now: other, fields }];
  });
  const extra = [...now].flatMap(([key, { result, step, attempt, index }]) =>
    then.has(key) || index >= inTime
      ? []
      : [{ step, attempt, recorded: null, now: result, fields: [] }],
  );
  return [...differences, ...extra];
}

interface Numbered {
  readonly result: Result;
  readonly step: string;
  readonly attempt: number;
  readonly index: number;
}

function numbered(results: readonly Result[]): Map<string, Numbered> {
  const attempts = new Map<string, number>();
  return new Map(
    results.map((result, index) => {
      const attempt = (attempts.get(result.step) ?? 0) + 1;
      attempts.set(result.step, attempt);
      return [`${result.step}#${attempt}`, { result, step: result.step, attempt, index }];
    }),
  );
}

function differingFields(a: Result, b: Result): string[] {
  const names = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...names].filter((name) => text(a, name) !== text(b, name)).sort();
}

function text(result: Result, name: string): string {
  return canonicalJson((result as unknown as Readonly<Record<string, unknown>>)[name] ?? null);
}

function resultsOf(events: readonly JournalEvent[]): Result[] {
  return events.flatMap((event) => (event.kind === "step" ? [event.result] : []));
}

/** What a difference comes from, as far as it can be told from what differs. */
function whyOf(
  difference: Omit<Difference, "why">,
  damage: readonly Damage[],
  recordedBy: string,
  replayedBy: string,
): string {
  const cause = causeOf(difference);
  if (damage.length > 0) return `${cause} The job is damaged, which may be the reason.`;
  if (recordedBy !== replayedBy) {
    return `${cause} It was recorded by version ${recordedBy}; this is version ${replayedBy}.`;
  }
  return `${cause} It was recorded by this same version: the job was altered, or the program is not deterministic (a defect).`;
}

function causeOf({ recorded, now, fields }: Omit<Difference, "why">): string {
  if (now === null) return "From the raw bytes, this step does not come to an end.";
  if (recorded === null) return "From the raw bytes, a step comes out that was not recorded.";
  const has = (...names: string[]): boolean => names.some((name) => fields.includes(name));
  const causes = [
    has("value", "overload", "started_s", "ended_s", "polarity", "zero") &&
      "another reading is recognised",
    has("resolution", "unit") && "the bytes are decoded otherwise",
    has("limits") && "the limits come out otherwise",
    has("uncertainty", "k") && "the uncertainty comes out otherwise",
    has("rule") && "another rule is applied",
    has("details") && "figures beside the value come out otherwise",
  ].filter((cause) => cause !== false);
  if (causes.length === 0) causes.push(`${fields.join(", ")} comes out otherwise`);
  const verdict = has("verdict")
    ? `The verdict would be ${now.verdict} instead of ${recorded.verdict}`
    : "The verdict is the same";
  return `${verdict}: ${causes.join("; ")}.`;
}
