import type { PartStatus } from "../../contract/events.js";
import type { JobContent } from "../../job/read-job.js";
import type { Customer } from "../../job/job-file.js";
import type { JournalEvent } from "../../job/journal-event.js";
import type { RecordedStep } from "../../job/last-results.js";
import type { Step } from "../../plan/schema.js";
import type { PlotSeries } from "./plot.js";

export type Result = RecordedStep;
export type Part = PartStatus;

/** Readings rule out some of its faults, and others were not tested. */
export function isClearedInPart({ state, tested = 0 }: Part): boolean {
  return state === "unknown" && tested > 0;
}

export interface Conclusion {
  readonly words: string;
  readonly parts: readonly Part[];
  /** Worked out from the results when the report was made, not recorded during the run. */
  readonly derived: boolean;
}

/** A photo as it goes into the report. */
export interface ReportPhoto {
  readonly file: string;
  readonly caption: string;
  readonly moment: "on-arrival" | "at-work" | "after-repair";
  /** `data:` address; null where the file is missing or not a picture that prints. */
  readonly data: string | null;
}

/** Readings around a step, by meter channel: what its plot shows. */
export interface StepTrace {
  readonly unit: string;
  readonly quantity: string;
  readonly series: PlotSeries;
}

export interface ReportInput {
  readonly job: JobContent;
  readonly before: JobContent | null;
  /** By step id; times are seconds since the step began. */
  /** What the readings say of the parts. */
  readonly conclusion: Conclusion;
  readonly traces: ReadonlyMap<string, readonly StepTrace[]>;
  readonly tracesBefore: ReadonlyMap<string, readonly StepTrace[]>;
  readonly photos: readonly ReportPhoto[];
  readonly customer: Customer | null;
  readonly shop: string;
  /** Of the key that signs the pack; null for a report that is not packed. */
  readonly fingerprint: string | null;
  readonly paper: "A4" | "Letter";
}

/** A step of the plan with everything the journal says of it. */
export interface StepView {
  readonly step: Step;
  readonly number: number;
  /** The result that counts: the newest. null where it was never reached. */
  readonly result: Result | null;
  readonly earlier: readonly Result[];
}

export interface RunView {
  readonly steps: readonly StepView[];
  readonly decision: Extract<JournalEvent, { kind: "decision" }> | null;
  readonly notes: readonly Extract<JournalEvent, { kind: "note" }>[];
  /** Kinds of caution that stood on the screen, with when first. */
  readonly cautions: readonly { readonly kind: string; readonly time_s: number }[];
  readonly finished: Extract<JournalEvent, { kind: "finished" }> | null;
  readonly resumed: readonly Extract<JournalEvent, { kind: "resumed" }>[];
}

export function runView(job: JobContent): RunView {
  const events = job.lines.map((line) => line.event);
  const results = ofKind(events, "step").map(({ result }) => result);
  return {
    steps: job.file.plan.steps.map((step, index) => {
      const own = results.filter((result) => result.step === step.id);
      return { step, number: index + 1, result: own.at(-1) ?? null, earlier: own.slice(0, -1) };
    }),
    decision: ofKind(events, "decision").at(-1) ?? null,
    notes: ofKind(events, "note"),
    cautions: cautionsShown(ofKind(events, "begin")),
    finished: ofKind(events, "finished").at(-1) ?? null,
    resumed: ofKind(events, "resumed"),
  };
}

/** Steps that say nothing about the tool: never reached, skipped, or without a verdict. */
export function notChecked(run: RunView): { readonly title: string; readonly why: string }[] {
  return run.steps.flatMap(({ step, result }) => {
    if (step.kind === "do" || step.kind === "wait") return [];
    if (result === null) return [{ title: step.title, why: "The run did not come to it." }];
    if (result.verdict !== "not-judged") return [];
    return [{ title: step.title, why: result.reason ?? "It has no limits, so it is not judged." }];
  });
}

export const VERDICT_WORDS = {
  pass: "Pass",
  fail: "FAIL",
  borderline: "Too close to call",
  "not-judged": "Not judged",
} as const;

function ofKind<K extends JournalEvent["kind"]>(
  events: readonly JournalEvent[],
  kind: K,
): Extract<JournalEvent, { kind: K }>[] {
  return events.filter((event): event is Extract<JournalEvent, { kind: K }> => event.kind === kind);
}

function cautionsShown(
  begins: readonly Extract<JournalEvent, { kind: "begin" }>[],
): { kind: string; time_s: number }[] {
  const first = new Map<string, number>();
  for (const { cautions, time_s } of begins) {
    for (const kind of cautions) if (!first.has(kind)) first.set(kind, time_s);
  }
  return [...first].map(([kind, time_s]) => ({ kind, time_s }));
}
