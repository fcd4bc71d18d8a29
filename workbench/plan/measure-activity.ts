import type { TimedReading } from "../../protocols/reading.js";
import type { Outcome, Prompt, Watch, WatchUpdate } from "../measurement/watch.js";
import type { Activity, Progress } from "./activity.js";
import type { MeasureStep } from "./schema.js";
import type { StepResult } from "./step-result.js";

/** Judges what a watch found. */
export type Judge = (outcome: Outcome) => StepResult;
/** Closes a step that found nothing, with the reason in words. */
export type CloseEmpty = (
  reason: string,
  span: { started_s: number; ended_s: number },
) => StepResult;

/** Probes in contact for this long without a result: a finding of its own, and the plan goes on. */
const UNSETTLED_S = 30;
/** The same for a step in which the trigger or the shaft has to be worked, beyond its own time. */
const UNWORKED_S = 20;

/** A `measure` step: its watch, and an end for the case that the watch never finds anything. */
export class MeasureActivity implements Activity {
  private contactSince_s: number | null = null;
  private least: TimedReading | null = null;
  private greatest: TimedReading | null = null;

  constructor(
    private readonly step: MeasureStep,
    private readonly watch: Watch,
    private readonly judge: Judge,
    private readonly closeEmpty: CloseEmpty,
  ) {}

  push(reading: TimedReading): Progress {
    const update = this.watch.push(reading);
    const { contact, band, prompt, outcome } = update;
    if (outcome) return { contact, band, prompt, done: this.done(this.judge(outcome), reading) };
    this.follow(update, reading);
    const empty = this.emptyReason(reading);
    if (empty === null) return { contact, band, prompt, done: null };
    const span = { started_s: this.contactSince_s ?? reading.time_s, ended_s: reading.time_s };
    return { contact, band, prompt, done: this.done(this.closeEmpty(empty, span), reading) };
  }

  private done(result: StepResult, reading: TimedReading) {
    return { result, left: reading };
  }

  /** The clock of patience runs only while the probes are on and nobody is asked to move them. */
  private follow(update: WatchUpdate, reading: TimedReading): void {
    if (update.contact === "lifted" || !isPatient(update.prompt)) {
      this.contactSince_s = null;
      this.least = this.greatest = null;
      return;
    }
    this.contactSince_s ??= reading.time_s;
    if (reading.value === null) return;
    if (this.least === null || reading.value < (this.least.value ?? 0)) this.least = reading;
    if (this.greatest === null || reading.value > (this.greatest.value ?? 0))
      this.greatest = reading;
  }

  private emptyReason(reading: TimedReading): string | null {
    if (this.contactSince_s === null) return null;
    const waited_s = reading.time_s - this.contactSince_s;
    const { watch } = this.step;
    switch (watch.kind) {
      case "settle":
        return waited_s > UNSETTLED_S ? `the reading never came to rest, ${this.range()}` : null;
      case "sag":
        return waited_s > UNWORKED_S + watch.hold_s
          ? "no sag seen: the trigger was not squeezed, or the pack delivered no current"
          : null;
      case "change":
        return waited_s > UNWORKED_S + watch.times * 2
          ? `nothing changed: the trigger was not squeezed, or it switches nothing, ${this.range()}`
          : null;
      case "sweep":
        return waited_s > UNWORKED_S + watch.duration_s
          ? `the sweep found no steady contact, ${this.range()}`
          : null;
    }
  }

  private range(): string {
    const { least, greatest } = this;
    if (!least || !greatest) return "over range throughout";
    return `between ${least.value ?? ""} and ${greatest.value ?? ""} ${least.unit}`;
  }
}

/** Prompts under which the probes stay where they are. */
function isPatient(prompt: Prompt | null): boolean {
  if (prompt === null) return true;
  return prompt.kind === "squeeze" || prompt.kind === "release" || prompt.kind === "turn-shaft";
}
