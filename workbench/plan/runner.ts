import type { TimedReading } from "../../protocols/reading.js";
import type { Order } from "../contract/orders.js";
import { instructionWords } from "../spoken/instruction.js";
import { promptWords } from "../spoken/prompts.js";
import { verdictWords } from "../spoken/verdict.js";
import type { Done, Progress } from "./activity.js";
import { ChannelChoice } from "./channel.js";
import { startActivity } from "./start-activity.js";
import type { StartContext } from "./start-activity.js";
import { formulaScope, resolveLimits } from "./limits.js";
import { lookDone } from "./look-activity.js";
import { ruledOut, unmetNeed } from "./needs.js";
import { Patience } from "./patience.js";
import { againAfter } from "./again-gesture.js";
import type { AgainGesture } from "./again-gesture.js";
import { finished } from "./finished.js";
import type { Ended, Now } from "./step-in-progress.js";
import { Inbox } from "./order/inbox.js";
import { isOnSamePoints, measuringAfter } from "./order/set-up.js";
import { cautionsBefore } from "./order/cautions-before.js";
import type { Choice, RunEvent, RunInput, RunPrompt } from "./run-event.js";
import { standardParts } from "./runner-parts.js";
import type { RunnerParts } from "./runner-parts.js";
import type { MeasureStep, Plan, Step } from "./schema.js";
import { plainResult, skippedResult } from "./step-results.js";
import type { StepResult } from "./step-result.js";
import type { MeterKnown } from "./judgement.js";
import { stepUnit } from "./outline.js";
import { AS_BOOKED_IN, isAsBookedIn, stateAfter } from "./tool-state.js";
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
  /** The order that the run begins with; the plan's where nothing is said. */
  readonly order?: Order;
}

/**
 * Takes a plan through its steps, hands-free. Deterministic: the same inputs give the same events,
 * and time comes from the inputs alone.
 */
export interface Runner {
  /** Begins the first step. Call once, before anything is pushed. */
  start(): RunEvent[];
  push(input: RunInput): RunEvent[];
  /** Id of the step in progress; null where none is: before the start, after the end, in between. */
  readonly current: string | null;
  readonly order: Order;
  /** The run has come to its end. */
  readonly over: boolean;
  /** It asked what comes next (`choose`) and has no answer yet. */
  readonly choosing: boolean;
  /** The newest result of each step so far. */
  readonly results: ReadonlyMap<string, StepResult>;
}

/** `parts` are exchanged only where a test needs a watch of its own. */
export function createRunner(options: RunnerOptions, parts: RunnerParts = standardParts): Runner {
  return new PlanRunner(options, parts);
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
  order: Order;
  over = false;
  /** What came before the choice was asked for; null: none is. */
  private asked: { readonly ended: Ended | null } | null = null;
  private readonly inbox = new Inbox();
  private readonly leftOut = new Set<string>();
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
    this.order = options.order ?? "fixed";
  }

  get choosing(): boolean {
    return this.asked !== null;
  }

  get current(): string | null {
    return this.now?.step.id ?? null;
  }

  start(): RunEvent[] {
    this.goOn(null);
    return this.flush();
  }

  push(input: RunInput): RunEvent[] {
    this.inbox.put(input);
    for (;;) {
      const next = this.inbox.next(this.choosing);
      if (next === null) return this.flush();
      this.accept(next);
    }
  }

  // One line an input: splitting the table would hide it.
  private accept(input: RunInput): void {
    this.time_s = input.kind === "reading" ? input.reading.time_s : input.time_s;
    switch (input.kind) {
      case "reading":
        this.take(input.reading);
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
        this.repeat(input.step);
        break;
      case "order":
        this.follow(input.order);
        break;
      case "chosen":
        this.chosen(input);
        break;
    }
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
      this.repeat(repeated);
      return;
    }
    const progress = now.activity.push(reading, gestures);
    if (progress.contact !== null && progress.contact !== "lifted") now.untouched = false;
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
    this.goOn({ step, left: done.left, reading });
  }

  private record(step: Step, result: StepResult): void {
    this.results.set(step.id, result);
    this.state = stateAfter(step, this.state);
    const words = verdictWords(step, result);
    this.out.push({ kind: "step", time_s: this.time_s, result, words });
  }

  /** Begins what comes next in the order that is followed; `ended`: the step before, if any. */
  private goOn(ended: Ended | null): void {
    this.now = null;
    this.asked = null;
    switch (this.order) {
      case "fixed":
        this.goOnInPlan(ended);
        break;
      case "proposed":
        this.ask(ended);
        break;
      case "free":
        break;
    }
  }

  /** The first step that has no result; what its needs rule out is skipped. */
  private goOnInPlan(ended: Ended | null): void {
    for (const step of this.options.plan.steps) {
      if (this.results.has(step.id)) continue;
      const why = unmetNeed(this.options.plan, step, this.results);
      if (why === null) {
        this.begin(step, ended);
        return;
      }
      this.skipped(step, why);
    }
    this.end();
  }

  private ask(ended: Ended | null): void {
    const { plan } = this.options;
    for (const step of plan.steps) {
      const why = this.results.has(step.id) ? null : ruledOut(plan, step, this.results);
      if (why !== null) this.skipped(step, why);
    }
    const open = plan.steps.map(({ id }) => id).filter((id) => !this.results.has(id));
    if (open.length === 0 && isAsBookedIn(this.state)) {
      this.end();
      return;
    }
    this.asked = { ended };
    this.out.push({ kind: "choose", time_s: this.time_s, state: this.state, open });
  }

  private chosen({ step: id, toward, words, tells, leftOut }: Choice): void {
    if (this.asked === null) return;
    const { ended } = this.asked;
    this.asked = null;
    const left = leftOut.filter((each) => !this.results.has(each.step));
    for (const each of left) this.leaveOut(each.step, each.reason);
    const step = id === null ? null : this.stepOf(id);
    if (step !== null) this.begin(step, ended, this.stepOf(toward ?? ""), { words, tells });
    else if (left.length > 0) this.ask(ended);
    else this.end();
  }

  private end(): void {
    this.over = true;
    this.out.push(finished(this.options.plan, this.results, this.time_s));
  }

  private leaveOut(id: string, reason: string): void {
    const step = this.stepOf(id);
    if (step === null) return;
    this.leftOut.add(id);
    this.skipped(step, reason);
  }

  private follow(order: Order): void {
    if (order === this.order) return;
    this.order = order;
    // The plan's own order knows no step that is not worth while.
    if (order === "fixed") for (const id of this.leftOut) this.results.delete(id);
    if (order === "fixed") this.leftOut.clear();
    if (order === "free" || (this.now?.untouched ?? true)) this.goOn(null);
  }

  private stepOf(id: string): Step | null {
    return this.options.plan.steps.find((step) => step.id === id) ?? null;
  }

  private repeat(id: string): void {
    const step = this.stepOf(id);
    if (step) this.begin(step, null);
  }

  private begin(
    step: Step,
    ended: Ended | null,
    toward: Step | null = null,
    why: Pick<Choice, "words" | "tells"> | null = null,
  ): void {
    const { plan } = this.options;
    const words = instructionWords(step, this.state);
    const next = toward?.kind === "measure" ? toward : measuringAfter(plan, step);
    const context = this.context(step, next, ended?.left ?? null);
    this.asked = null;
    this.again = ended && againAfter(ended, step);
    this.now = {
      step,
      next,
      activity: startActivity(step, context, this.parts),
      patience: new Patience(this.time_s),
      shown: { contact: "", prompt: NOTHING_ASKED },
      untouched: step.kind === "measure" || step.kind === "look",
      words,
    };
    this.out.push({
      kind: "begin",
      step: step.id,
      index: plan.steps.indexOf(step),
      time_s: this.time_s,
      instruction: words,
      cautions: cautionsBefore(plan, step, this.state),
      next: next?.id ?? null,
      why,
      limits: context.limits.limits,
      unit: stepUnit(step),
    });
  }

  private context(step: Step, next: MeasureStep | null, left: TimedReading | null): StartContext {
    const scope = formulaScope(this.data, this.results);
    const none = { limits: null, reason: null };
    return {
      plan: this.options.plan,
      next,
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
    return this.before === null || !isOnSamePoints(this.before, step);
  }

  private meter(channel: string, state: "live" | "lost"): void {
    const { now } = this;
    // A meter that is there for the first time is not back.
    if (state === "live" && !this.lost.delete(channel)) return;
    if (state === "lost") this.lost.add(channel);
    if (!now || !this.channels.serves(channel, now.step)) return;
    // What the watch saw before the gap proves nothing after it.
    now.activity = startActivity(now.step, this.context(now.step, now.next, null), this.parts);
    now.shown.prompt = NOTHING_ASKED;
    this.say(now, { kind: state === "lost" ? "meter-lost" : "meter-back" });
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
}
