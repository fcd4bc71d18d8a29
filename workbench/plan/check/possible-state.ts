import type { Plan, Step } from "../schema.js";
import { AS_BOOKED_IN, FIELDS, serves } from "../tool-state.js";
import type { StateField, ToolState } from "../tool-state.js";

/** What each field of the tool's state may be: more than one value after a step that may be skipped. */
export type PossibleState = Readonly<Record<StateField, ReadonlySet<string>>>;

type DoStep = Extract<Step, { kind: "do" }>;

/** One way in which the plan may have gone so far: which `do` steps were done, and what they left. */
interface Course {
  readonly done: ReadonlySet<string>;
  readonly state: ToolState;
}

/** More courses than this are not followed one by one. */
const FOLLOWED = 1024;

/** The possible states before each step of the plan, in order. */
export function statesBefore(plan: Plan): PossibleState[] {
  const relied = new Set(plan.steps.flatMap(({ needs }) => needs.map(({ step }) => step)));
  const doSteps = new Set(plan.steps.filter(({ kind }) => kind === "do").map(({ id }) => id));
  let courses: readonly Course[] = [{ done: new Set(), state: AS_BOOKED_IN }];
  return plan.steps.map((step) => {
    const wanted = doneBefore(step, doSteps);
    const here = courses.filter(({ done }) => wanted.every((id) => done.has(id)));
    if (step.kind === "do") courses = after(courses, step, wanted, relied);
    // A step that is never reached is told as such; its hazards are those of any course.
    return merged(here.length > 0 ? here : courses);
  });
}

/** The `do` steps that a step needs to have been done. */
function doneBefore(step: Step, doSteps: ReadonlySet<string>): string[] {
  return step.needs.flatMap(({ step: id, verdict }) =>
    verdict !== "not-pass" && doSteps.has(id) ? [id] : [],
  );
}

/**
 * A `do` step without needs is always done, and so is one that needs nothing but other `do` steps,
 * wherever those were done. Any other may be skipped.
 */
function after(
  courses: readonly Course[],
  step: DoStep,
  wanted: readonly string[],
  relied: ReadonlySet<string>,
): Course[] {
  const free =
    step.needs.length > wanted.length || step.needs.some(({ verdict }) => verdict !== "any");
  const next = courses.flatMap((course) => {
    if (!wanted.every((id) => course.done.has(id))) return [course];
    const state = { ...course.state, ...definedOf(step.sets) };
    const done = relied.has(step.id) ? new Set([...course.done, step.id]) : course.done;
    return free ? [course, { done, state }] : [{ done, state }];
  });
  return distinct(next);
}

function definedOf(sets: DoStep["sets"]): Partial<ToolState> {
  return Object.fromEntries(Object.entries(sets).filter(([, value]) => value !== undefined));
}

/** Courses that differ in nothing that matters later are one; too many become every mixture of them. */
function distinct(courses: readonly Course[]): Course[] {
  const byKey = new Map(
    courses.map((course) => [`${[...course.done].join(" ")}/${keyOf(course.state)}`, course]),
  );
  return byKey.size <= FOLLOWED ? [...byKey.values()] : mixtures([...byKey.values()]);
}

function mixtures(courses: readonly Course[]): Course[] {
  const byState = new Map(courses.map((course) => [keyOf(course.state), course.state]));
  const done = new Set(courses.flatMap((course) => [...course.done]));
  const none: ReadonlySet<string> = new Set();
  return [...byState.values()].flatMap((state) => [
    { done, state },
    { done: none, state },
  ]);
}

function keyOf(state: ToolState): string {
  return FIELDS.map((field) => state[field]).join(" ");
}

function merged(courses: readonly Course[]): PossibleState {
  const entries = FIELDS.map((field) => [field, new Set(courses.map(({ state }) => state[field]))]);
  return Object.fromEntries(entries) as Record<StateField, ReadonlySet<string>>;
}

/** Fields in which a step's condition is not certain to hold. */
export function unsetFields(step: Step, state: PossibleState): StateField[] {
  if (step.kind !== "measure") return [];
  return FIELDS.filter((field) =>
    [...state[field]].some((is) => !serves(field, is, step.condition[field])),
  );
}

/** What may feed the tool or the charger in this state. */
export function possibleFeeds(state: PossibleState): string[] {
  const feeds = [
    state.pack.has("in") ? "the pack is in" : null,
    state.pack.has("at-motor") ? "a supply is on the motor" : null,
    state.charger.has("plugged") ? "the charger is plugged in" : null,
    state.mains.has("plugged") ? "the mains is plugged in" : null,
  ];
  return feeds.filter((feed) => feed !== null);
}
