import type { Choice } from "../../plan/run-event.js";
import type { Step } from "../../plan/schema.js";
import { FIELDS, serves } from "../../plan/tool-state.js";
import { bringsBack, isAfterClosing, isTogether, nextToClose } from "../../plan/order/closing.js";
import { firstFor, shutsOut, wantedBy } from "../../plan/order/set-up.js";
import type { Progress, Wanted } from "../../plan/order/set-up.js";
import { TELLING } from "../next-probe.js";
import type { BenchCondition } from "../../models/model.js";

/** What the reasoning says of one step that was not taken yet. */
export interface Weight {
  readonly condition: BenchCondition;
  /** 0 where it would tell nothing. */
  readonly information_bits: number;
  readonly cost_s: number;
  readonly forbidden: boolean;
  /** What each outcome would mean. */
  readonly tells: readonly string[];
}

export interface Weights {
  /** By step; a step that is not in it cannot be weighed, and keeps its place in the plan. */
  readonly of: ReadonlyMap<string, Weight>;
  /** Why nothing more has to be known, in words; null: something has. */
  readonly settled: string | null;
}

/** A step that would tell less than this is not worth a touch, bits; common practice, no source. */
const WORTH_BITS = 0.02;
/** Seconds on the way to a step; common practice, no source. */
const WAY_S = { measured: 12, switched: 15 };

/**
 * What comes next when what tells most for its work goes first: a step, or steps to leave out, after
 * which it is asked again. What cannot be weighed is taken when all that can be before it is done or
 * left out. Once nothing more is to be learnt the rest is left out and the tool put back as it was.
 */
export function chooseStep(progress: Progress, weights: Weights): Choice {
  const { plan, results } = progress;
  const open = plan.steps.filter(({ id }) => !results.has(id));
  const questions = open.filter((step) => isQuestion(step) && !isAfterClosing(plan, step));
  const [first] = questions;
  if (first !== undefined && isDue(first, weights)) return taking(progress, weights, first);
  const best = weights.settled === null ? bestOf(progress, questions, weights) : null;
  if (best !== null) return taking(progress, weights, best);
  const worthless = questions.filter(({ id }) => weights.of.has(id));
  if (worthless.length > 0) return leaving(worthless, (step) => worthlessWords(step, weights));
  if (first !== undefined) return taking(progress, weights, first);
  return closing(progress, weights, open);
}

/** It cannot be weighed, or it is a look that cautions what follows; and nothing comes before it. */
function isDue(first: Step, { of }: Weights): boolean {
  return !of.has(first.id) || (first.kind === "look" && first.cautions.length > 0);
}

function closing(progress: Progress, weights: Weights, open: readonly Step[]): Choice {
  const later = (step: Step): boolean => isAfterClosing(progress.plan, step);
  const idle = open.filter((step) => !bringsBack(step) && !later(step));
  if (idle.length > 0) return leaving(idle, () => "nothing that is still to be done needs it");
  const trial = open.find((step) => isQuestion(step) && later(step));
  // The power that the trial wants stays on until it is made.
  if (trial !== undefined && isTogether(progress)) return trying(progress, weights, trial);
  const close = nextToClose(progress);
  if (close === null && open.length > 0) return leaving(open, () => "the tool is so already");
  const words = close === null ? "" : "Nothing more is to be measured: the tool is put back.";
  return { step: close?.id ?? null, toward: null, words, tells: [], leftOut: [] };
}

function trying(progress: Progress, weights: Weights, trial: Step): Choice {
  const forbidden = weights.of.get(trial.id)?.forbidden === true;
  if (forbidden) return leaving([trial], (step) => worthlessWords(step, weights));
  return taking(progress, weights, trial);
}

function taking(progress: Progress, weights: Weights, step: Step): Choice {
  const way = firstFor(progress, step, wantedOf(progress, step, weights));
  if (way === null) return leaving([step], () => "the tool is taken further apart by now");
  const weight = weights.of.get(step.id);
  const isItself = way.step === step;
  return {
    step: way.step.id,
    toward: way.toward.kind === "measure" && way.toward !== way.step ? way.toward.id : null,
    words: isItself ? whyWords(weight) : `It makes way for “${step.title}”.`,
    tells: weight?.tells ?? [],
    leftOut: [],
  };
}

function whyWords(weight: Weight | undefined): string {
  return weight === undefined ? "It keeps its place in the plan." : "It tells most for its work.";
}

/** A step that was left out says so in the record, with the reason. */
const LEFT_OUT = "left out, ";

function leaving(steps: readonly Step[], reasonOf: (step: Step) => string): Choice {
  const leftOut = steps.map((step) => ({ step: step.id, reason: LEFT_OUT + reasonOf(step) }));
  return { step: null, toward: null, words: "", tells: [], leftOut };
}

function worthlessWords({ id }: Step, { of, settled }: Weights): string {
  const weight = of.get(id);
  if (weight?.forbidden === true) return "what was found forbids it";
  return settled ?? "it would tell next to nothing more";
}

/** What a look wants of the tool is known by the model; without power the motor's leads may be off. */
function wantedOf(progress: Progress, step: Step, weights: Weights): Wanted {
  const wanted = wantedBy(progress, step);
  const condition = weights.of.get(step.id)?.condition;
  if (step.kind !== "look" || condition === undefined) return wanted;
  const { pack, charger, mains, motor } = condition;
  if (pack !== "in" && pack !== "out" && pack !== "at-motor") return wanted;
  const fed = pack !== "out";
  return { pack, charger, mains, motor: fed ? motor : progress.state.motor, case: "closed" };
}

function bestOf(progress: Progress, questions: readonly Step[], weights: Weights): Step | null {
  const worth = questions.filter(({ id }) => isWorth(weights.of.get(id)));
  const rated = worth.flatMap((step) => {
    const weight = weights.of.get(step.id);
    if (weight === undefined) return [];
    const way = firstFor(progress, step, wantedOf(progress, step, weights));
    if (way === null || worth.some((other) => shutsOut(progress, step, other))) return [];
    const way_s =
      WAY_S.measured * openNeeds(progress, step).length +
      WAY_S.switched * switchedFor(progress, wantedOf(progress, step, weights));
    const bits = weight.information_bits;
    return [{ step, bits, rate: bits / (weight.cost_s + way_s) }];
  });
  const most = Math.max(0, ...rated.map(({ bits }) => bits));
  const telling = rated.filter(({ bits }) => bits >= TELLING * most);
  const sorted = telling.toSorted((a, b) => b.rate - a.rate);
  return sorted[0]?.step ?? null;
}

function isWorth(weight: Weight | undefined): boolean {
  return weight?.forbidden === false && weight.information_bits >= WORTH_BITS;
}

/** How much of the tool's state has to be changed. */
function switchedFor({ state }: Progress, wanted: Wanted): number {
  if (wanted === null) return 0;
  return FIELDS.filter((field) => !serves(field, state[field], wanted[field])).length;
}

/** The measurements that have to come before a step because it needs them. */
function openNeeds({ plan, results }: Pick<Progress, "plan" | "results">, step: Step): Step[] {
  const found: Step[] = [];
  const waiting = [step];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const ids = next.needs.map((need) => need.step).filter((id) => !results.has(id));
    const needs = plan.steps.filter((each) => ids.includes(each.id) && !found.includes(each));
    found.push(...needs);
    waiting.push(...needs);
  }
  return found.filter(isQuestion);
}

function isQuestion({ kind }: Step): boolean {
  return kind === "measure" || kind === "look";
}
