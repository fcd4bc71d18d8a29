import { AS_BOOKED_IN, serves, stateAfter } from "../tool-state.js";
import type { StateField, ToolState } from "../tool-state.js";
import type { Condition, MeasureStep, Plan, Step } from "../schema.js";
import { wasSkipped } from "../step-results.js";
import type { StepResult } from "../step-result.js";

type DoStep = Extract<Step, { kind: "do" }>;

/** How far a run has come, as far as its order depends on it. */
export interface Progress {
  readonly plan: Plan;
  /** The newest result of each step. */
  readonly results: ReadonlyMap<string, StepResult>;
  readonly state: ToolState;
}

/** What a step wants of the tool; null: nothing is known of it. */
export type Wanted = Pick<Condition, StateField> | null;

/**
 * A look says nothing of the tool: it is made for the state that the plan has brought it into. Without
 * power it is all the same whether the motor's leads are on.
 */
export function wantedBy({ plan: { steps }, state }: Progress, step: Step): Wanted {
  if (step.kind === "measure") return step.condition;
  if (step.kind !== "look") return null;
  const before = steps.slice(0, steps.indexOf(step));
  const there = before.reduce((one, each) => stateAfter(each, one), AS_BOOKED_IN);
  return there.pack === "out" ? { ...there, motor: state.motor } : there;
}

/** The measuring step that follows in the plan. */
export function measuringAfter({ steps }: Plan, step: Step): MeasureStep | null {
  const after = steps.slice(steps.indexOf(step) + 1);
  return after.find((each) => each.kind === "measure") ?? null;
}

/** The probes may stay where they are from one to the other. */
export function isOnSamePoints(a: Step, b: Step): boolean {
  return a.kind === "measure" && b.kind === "measure" && a.red === b.red && a.black === b.black;
}

/** Whether this is a step that brings the tool into that state. */
export function setsState(step: Step, field: string, value: string): boolean {
  return step.kind === "do" && step.sets[field as StateField] === value;
}

/**
 * What has to be done first so that a step of the plan can be taken out of its order, or the step
 * itself: what it needs, power off before anything is opened, then what the plan does on the way to
 * it, power on last. Asked anew after each step. null: it cannot be reached any more.
 */
export function firstFor(
  progress: Progress,
  step: Step,
  wanted: Wanted = wantedBy(progress, step),
  asking: readonly Step[] = [],
): { readonly step: Step; readonly toward: Step } | null {
  const self = { step, toward: step };
  if (asking.includes(step)) return self;
  if (isTooFarApart(progress, step, wanted)) return null;
  const first = (other: Step) =>
    firstFor(progress, other, wantedBy(progress, other), [...asking, step]);
  for (const need of step.needs) {
    const other = progress.plan.steps.find(({ id }) => id === need.step);
    if (other && !progress.results.has(need.step)) return aiming(first(other), step);
  }
  const way = onTheWay(progress, step, wanted);
  const [prepared] = way;
  const handsInside = way.some(({ kind }) => kind === "do");
  const off = switching(progress, wanted, handsInside ? "all off" : "off");
  if (off !== null) return { step: off, toward: step };
  if (prepared !== undefined) return aiming(first(prepared), step);
  const on = switching(progress, wanted, "on");
  return on === null ? self : aiming(first(on), step);
}

/** What makes way for a measurement is aimed at it; a measurement of its own is its own aim. */
function aiming(found: ReturnType<typeof firstFor>, step: Step): ReturnType<typeof firstFor> {
  if (found === null) return null;
  const measures = (each: Step): boolean => each.kind === "measure";
  return measures(found.toward) || !measures(step) ? found : { ...found, toward: step };
}

const POWER = ["pack", "charger", "mains"] as const;
/** What is taken apart, and shows in the state of the tool. */
const APART = ["case", "motor"] as const;

/** The plan's step that switches power off, or on, as is wanted; null where it is so already. */
function switching(
  progress: Progress,
  wanted: Wanted,
  which: "all off" | "off" | "on",
): Step | null {
  const { state } = progress;
  for (const field of POWER) {
    const off = AS_BOOKED_IN[field];
    const target = which === "all off" ? off : (wanted?.[field] ?? state[field]);
    if (state[field] === target) continue;
    // From one supply to another the first comes off before.
    const first = state[field] === off ? target : off;
    if ((first === off) === (which === "on")) continue;
    const found = nearestDoer(progress, field, first);
    if (found !== null) return found;
  }
  return null;
}

/**
 * The step of the plan that brings the tool into that state: the next one after the step that brought
 * it into its present one. What a person left undone is not asked for again: the words say it.
 */
export function nearestDoer(
  { plan, results, state }: Progress,
  field: StateField,
  value: string,
): Step | null {
  const done = plan.steps
    .filter((step) => setsState(step, field, state[field]) && isDone(results.get(step.id)))
    .sort((a, b) => endOf(results, a) - endOf(results, b));
  const since = done.at(-1);
  const from = since === undefined ? -1 : plan.steps.indexOf(since);
  const doers = plan.steps.filter(
    (step) => setsState(step, field, value) && !isSkipped(results, step.id),
  );
  return doers.find((step) => plan.steps.indexOf(step) > from) ?? doers.at(-1) ?? null;
}

function endOf(results: Progress["results"], { id }: Step): number {
  return results.get(id)?.ended_s ?? -Infinity;
}

export function isDone(result: StepResult | undefined): boolean {
  return result !== undefined && !wasSkipped(result);
}

/** A motor that is out goes back in before the case is closed. */
function lessApart(is: string, wanted: string): string {
  return is === "motor-out" && wanted === "closed" ? "open" : wanted;
}

/** What the plan does before a step, beyond switching: opening, taking off, waiting, connecting. */
function onTheWay(progress: Progress, step: Step, wanted: Wanted): Step[] {
  const { plan, state } = progress;
  const at = plan.steps.indexOf(step);
  const opening = APART.flatMap((field) =>
    wanted === null || serves(field, state[field], wanted[field])
      ? []
      : [nearestDoer(progress, field, lessApart(state[field], wanted[field]))],
  );
  const needed = new Set<Step | null>([
    ...opening,
    ...(isInside(wanted) ? missingRemovals(progress, at) : []),
    ...justBefore(plan, at).filter((each) => isMissing(progress, each)),
    ...(isPowerless(wanted) ? capacitorSteps(progress, at) : []),
  ]);
  return plan.steps.filter((each) => needed.has(each));
}

/**
 * Whether taking a step now takes something off without which another, open inside the tool, cannot
 * be measured any more.
 */
export function shutsOut(progress: Progress, step: Step, other: Step): boolean {
  const { plan } = progress;
  if (!isInside(wantedBy(progress, other)) || !isInside(wantedBy(progress, step))) return false;
  const deepest = "motor-out";
  const goesDeeper = wantedBy(progress, step)?.case === deepest && progress.state.case !== deepest;
  if (goesDeeper && wantedBy(progress, other)?.case !== deepest) return true;
  const removals = missingRemovals(progress, plan.steps.indexOf(step));
  const at = plan.steps.indexOf(other);
  return removals.some((each) => plan.steps.indexOf(each) > at);
}

function isInside(wanted: Wanted): boolean {
  return wanted !== null && wanted.case !== "closed";
}

function missingRemovals(progress: Progress, at: number): DoStep[] {
  return removalsOpenAt(progress.plan, at).filter(
    (each) => !isOff(progress, each) && !isSkipped(progress.results, each.id),
  );
}

/** What is off the tool at that place of the plan and does not show in its state. */
function removalsOpenAt({ steps }: Plan, at: number): DoStep[] {
  const before = steps.slice(0, at);
  const back = new Set(before.flatMap((each) => (each.kind === "do" ? (each.putsBack ?? []) : [])));
  return before.filter((each): each is DoStep => isUntracked(each) && !back.has(each.id));
}

function isUntracked(step: Step): step is DoStep {
  if (step.kind !== "do" || step.removes === undefined) return false;
  return APART.every((field) => step.sets[field] === undefined);
}

/** Taken off, and not put back since. */
export function isOff({ plan, results }: Progress, removal: Step): boolean {
  const off = results.get(removal.id);
  if (off === undefined || wasSkipped(off)) return false;
  return !plan.steps.some((each) => {
    const back = results.get(each.id);
    if (each.kind !== "do" || back === undefined || wasSkipped(back)) return false;
    return (each.putsBack ?? []).includes(removal.id) && back.ended_s >= off.ended_s;
  });
}

/** The unbroken run of `do` and `wait` steps that ends at a step: it is made for what follows. */
function justBefore({ steps }: Plan, at: number): Step[] {
  let from = at;
  while (["do", "wait"].includes(steps[from - 1]?.kind ?? "")) from -= 1;
  return steps.slice(from, at);
}

/** Not done, and nothing that only switches, takes off or puts back. */
function isMissing({ results }: Progress, step: Step): boolean {
  if (results.has(step.id)) return false;
  if (step.kind === "wait") return true;
  const connects = step.kind === "do" && Object.keys(step.sets).length === 0;
  return connects && step.removes === undefined && step.putsBack === undefined;
}

function isPowerless(wanted: Wanted): boolean {
  return wanted !== null && POWER.every((field) => wanted[field] === AS_BOOKED_IN[field]);
}

/** Waiting for capacitors, and proving that they are empty, since power was last on. */
function capacitorSteps({ plan, results }: Progress, at: number): Step[] {
  const fed = plan.steps.flatMap((step) => {
    const result = results.get(step.id);
    return result !== undefined && !wasSkipped(result) && feeds(step) ? [result.ended_s] : [];
  });
  const lastFed_s = Math.max(-Infinity, ...fed);
  return plan.steps.slice(0, at).filter((step) => {
    if (!step.cautions.includes("capacitor") || !["wait", "measure"].includes(step.kind)) {
      return false;
    }
    if (step.kind === "measure" && step.quantity !== "voltage") return false;
    const result = results.get(step.id);
    return result === undefined || (!wasSkipped(result) && result.ended_s < lastFed_s);
  });
}

function feeds(step: Step): boolean {
  const fields = step.kind === "do" ? step.sets : step.kind === "measure" ? step.condition : {};
  return POWER.some(
    (field) => fields[field] !== undefined && fields[field] !== AS_BOOKED_IN[field],
  );
}

/** Measured before something came off that is off now, or with the case less open than it is. */
function isTooFarApart(progress: Progress, step: Step, wanted: Wanted): boolean {
  if (!isInside(wanted)) return false;
  const { plan } = progress;
  const at = plan.steps.indexOf(step);
  return plan.steps.slice(at).some((later) => isUntracked(later) && isOff(progress, later));
}

function isSkipped(results: Progress["results"], id: string): boolean {
  const result = results.get(id);
  return result !== undefined && wasSkipped(result);
}
