import type { TimedReading } from "../../protocols/reading.js";
import { instructionWords } from "../spoken/instruction.js";
import { promptWords } from "../spoken/prompts.js";
import { verdictWords } from "../spoken/verdict.js";
import type { Activity, Done, Progress } from "./activity.js";
import { ChannelChoice } from "./channel.js";
import { startActivity } from "./start-activity.js";
import type { StartContext } from "./start-activity.js";
import { formulaScope, resolveLimits } from "./limits.js";
import { lookDone } from "./look-activity.js";
import { unmetNeed } from "./needs.js";
import { Patience } from "./patience.js";
import { AgainGesture } from "./again-gesture.js";
import type { RunEvent, RunInput, RunPrompt } from "./run-event.js";
import { standardParts } from "./runner-parts.js";
import type { RunnerParts } from "./runner-parts.js";
import type { Plan, Step } from "./schema.js";
import { plainResult, skippedResult } from "./step-results.js";
import type { StepResult } from "./step-result.js";
import type { MeterKnown } from "./judgement.js";
import { stepUnit } from "./outline.js";
import { AS_BOOKED_IN, stateAfter } from "./tool-state.js";
import type { ToolState } from "./tool-state.js";
import type { Accuracy } from "../measurement/accuracy.js";

export interface RunnerOptions {
  readonly plan: Plan;
  /** The tool's data by name; what is missing takes the plan's default. */
  readonly toolData: Readonly<Record<string, number>>;
  /**
   * Accuracy table of the meter on each channel; where there is none, verdicts know the resolution
   * and the spread only.
   */
  readonly accuracy: ReadonlyMap<string, Accuracy>;
  /** Day of the run, ISO 8601, to tell whether the meter's calibration holds. */
  readonly date?: string;
  /** Start of the run on the job's time base, seconds. */
  readonly startAt_s: number;
}

/**
 * Takes a plan through its steps, hands-free. Deterministic: the same inputs give the same events,
 * and time comes from the inputs alone.
 */
export interface Runner {
  /** Begins the first step. Call once, before anything is pushed. */
  start(): RunEvent[];
  push(input: RunInput): RunEvent[];
  /** Id of the step in progress; null before the start and after the end. */
  readonly current: string | null;
  /** The newest result of each step so far. */
  readonly results: ReadonlyMap<string, StepResult>;
}

/** `parts` are exchanged only where a test needs a watch of its own. */
export function createRunner(options: RunnerOptions, parts: RunnerParts = standardParts): Runner {
  return new PlanRunner(options, parts);
}

/** The step in progress. */
interface Now {
  readonly step: Step;
  activity: Activity;
  patience: Patience;
  shown: { contact: string; prompt: string };
  /** What was said last, for the one repeat. */
  words: string;
}

const NOTHING_ASKED = JSON.stringify(null);

class PlanRunner implements Runner {
  readonly results = new Map<string, StepResult>();
  private readonly data: Readonly<Record<string, number>>;
  private now: Now | null = null;
  private state: ToolState = AS_BOOKED_IN;
  private time_s: number;
  private readonly channels = new ChannelChoice();
  private again: AgainGesture | null = null;
  /** The step that was finished last, which is not the one before where steps are repeated. */
  private before: Step | null = null;
  private readonly lost = new Set<string>();
  private aside = false;
  private out: RunEvent[] = [];

  constructor(
    private readonly options: RunnerOptions,
    private readonly parts: RunnerParts,
  ) {
    const defaults = Object.entries(options.plan.tool.data).map(([name, entry]) => [
      name,
      entry.default,
    ]);
    this.data = { ...(Object.fromEntries(defaults) as object), ...options.toolData };
    this.time_s = options.startAt_s;
  }

  get current(): string | null {
    return this.now?.step.id ?? null;
  }

  start(): RunEvent[] {
    this.goOn(null);
    return this.flush();
  }

  push(input: RunInput): RunEvent[] {
    this.time_s = input.kind === "reading" ? input.reading.time_s : input.time_s;
    switch (input.kind) {
      case "reading":
        if (!this.aside) this.take(input.reading);
        break;
      case "meter":
        this.meter(input.channel, input.state);
        break;
      case "confirm":
        this.confirm(input.step, input.choice);
        break;
      case "skip":
        this.skip(input.step, input.reason);
        break;
      case "repeat":
        this.goTo(input.step);
        break;
      case "aside":
        this.standAside(input.on);
        break;
    }
    return this.flush();
  }

  private flush(): RunEvent[] {
    const { out } = this;
    this.out = [];
    return out;
  }

  private take(reading: TimedReading): void {
    const { gestures, mine } = this.channels.push(reading, this.now?.step ?? null);
    const { now } = this;
    if (!now || !mine) return;
    const repeated = this.again?.push(reading, gestures) ?? null;
    if (repeated !== null) {
      this.again = null;
      this.goTo(repeated);
      return;
    }
    const progress = now.activity.push(reading, gestures);
    this.show(now, progress);
    if (progress.done) this.finish(now.step, progress.done, reading);
    else if (now.patience.isTimeToRepeat(progress, this.time_s)) this.say(now, { kind: "again" });
  }

  private show(now: Now, progress: Progress): void {
    const { step } = now;
    const { contact, band, prompt } = progress;
    const drawn = JSON.stringify([contact, band]);
    if (contact !== null && drawn !== now.shown.contact) {
      now.shown.contact = drawn;
      this.out.push({ kind: "contact", step: step.id, time_s: this.time_s, contact, band });
    }
    const asked = JSON.stringify(prompt);
    if (asked === now.shown.prompt) return;
    now.shown.prompt = asked;
    if (prompt) this.say(now, prompt);
    else this.out.push({ kind: "prompt", step: step.id, time_s: this.time_s, prompt, words: "" });
  }

  private say(now: Now, prompt: RunPrompt): void {
    const words = promptWords(prompt, this.options.plan, now.step, now.words);
    now.words = words;
    this.out.push({ kind: "prompt", step: now.step.id, time_s: this.time_s, prompt, words });
  }

  private finish(step: Step, done: Done, reading: TimedReading | null): void {
    this.record(step, done.result);
    this.before = step;
    this.goOn(done.left);
    if (step.kind !== "measure" || !reading || this.now === null) return;
    const samePoints = this.isOnSamePoints(step, this.now.step);
    this.again = samePoints ? null : new AgainGesture(step.id, reading);
  }

  private record(step: Step, result: StepResult): void {
    this.results.set(step.id, result);
    this.state = stateAfter(step, this.state);
    const words = verdictWords(step, result);
    this.out.push({ kind: "step", time_s: this.time_s, result, words });
  }

  /** Begins the first step that has no result; skips what its needs rule out. */
  private goOn(left: TimedReading | null): void {
    this.now = null;
    for (const step of this.options.plan.steps) {
      if (this.results.has(step.id)) continue;
      const why = unmetNeed(this.options.plan, step, this.results);
      if (why === null) {
        this.begin(step, left);
        return;
      }
      this.skipped(step, why);
    }
    this.out.push(this.finished());
  }

  private goTo(id: string): void {
    const step = this.options.plan.steps.find((each) => each.id === id);
    if (step) this.begin(step, null);
  }

  private begin(step: Step, left: TimedReading | null): void {
    const { plan } = this.options;
    const words = instructionWords(step, this.state);
    const context = this.context(step, left);
    this.again = null;
    this.now = {
      step,
      activity: startActivity(step, context, this.parts),
      patience: new Patience(this.time_s),
      shown: { contact: "", prompt: NOTHING_ASKED },
      words,
    };
    this.out.push({
      kind: "begin",
      step: step.id,
      index: plan.steps.indexOf(step),
      time_s: this.time_s,
      instruction: words,
      cautions: step.cautions,
      limits: context.limits.limits,
      unit: stepUnit(step),
    });
  }

  private context(step: Step, left: TimedReading | null): StartContext {
    const scope = formulaScope(this.data, this.results);
    const none = { limits: null, reason: null };
    return {
      plan: this.options.plan,
      results: this.results,
      meter: () => this.meterOf(step),
      time_s: this.time_s,
      touching: this.channels.touching(step),
      left: left && this.isLeftOver(step) ? left : null,
      limits: step.kind === "measure" ? resolveLimits(step, scope) : none,
    };
  }

  /** The meter that the step listens to, which can change while it is in progress. */
  private meterOf(step: Step): MeterKnown {
    const { accuracy, date = null } = this.options;
    return { accuracy: accuracy.get(this.channels.chosen(step)) ?? null, date };
  }

  /** A probe that may stay where it is leaves nothing over. */
  private isLeftOver(step: Step): boolean {
    return this.before === null || !this.isOnSamePoints(this.before, step);
  }

  private isOnSamePoints(a: Step, b: Step): boolean {
    return a.kind === "measure" && b.kind === "measure" && a.red === b.red && a.black === b.black;
  }

  private meter(channel: string, state: "live" | "lost"): void {
    const { now } = this;
    // A meter that is there for the first time is not back.
    if (state === "live" && !this.lost.delete(channel)) return;
    if (state === "lost") this.lost.add(channel);
    if (!now || !this.channels.serves(channel, now.step)) return;
    // What the watch saw before the gap proves nothing after it.
    now.activity = startActivity(now.step, this.context(now.step, null), this.parts);
    now.shown.prompt = NOTHING_ASKED;
    this.say(now, { kind: state === "lost" ? "meter-lost" : "meter-back" });
  }

  /** What the watch saw before says nothing of the probes afterwards: its step begins anew. */
  private standAside(on: boolean): void {
    const { now } = this;
    this.aside = on;
    if (on || !now) return;
    now.activity = startActivity(now.step, this.context(now.step, null), this.parts);
    now.shown.prompt = NOTHING_ASKED;
  }

  private confirm(id: string, choice: string | null): void {
    const { now } = this;
    if (!now || now.step.id !== id || now.step.kind === "measure") return;
    const span = { started_s: this.time_s, ended_s: this.time_s };
    const done =
      now.step.kind === "look"
        ? lookDone(now.step, choice, span.started_s, span.ended_s)
        : { result: plainResult(id, "not-judged", "confirmed by hand", span), left: null };
    if (done) this.finish(now.step, done, null);
  }

  private skip(id: string, reason: string): void {
    if (this.now?.step.id !== id) return;
    this.skipped(this.now.step, reason);
    this.goOn(null);
  }

  /** A skipped `do` step changes nothing about the tool. */
  private skipped(step: Step, why: string): void {
    const result = skippedResult(step.id, why, this.time_s);
    this.results.set(step.id, result);
    const words = verdictWords(step, result);
    this.out.push({ kind: "step", time_s: this.time_s, result, words });
  }

  private finished(): RunEvent {
    const judged = this.options.plan.steps
      .filter(({ kind }) => kind === "measure" || kind === "look")
      .map(({ id }) => this.results.get(id)?.verdict);
    const passed = judged.filter((verdict) => verdict === "pass").length;
    const failed = judged.filter((verdict) => verdict === "fail").length;
    const other = judged.length - passed - failed;
    return { kind: "finished", time_s: this.time_s, passed, failed, other };
  }
}
