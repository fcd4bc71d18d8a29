import type { Condition, Step } from "./schema.js";

/** What steps set up and leave behind; trigger and shaft are the person's hand, not a state. */
export type ToolState = Readonly<Pick<Condition, StateField>>;

export const FIELDS = ["pack", "charger", "case", "mains", "motor"] as const;
export type StateField = (typeof FIELDS)[number];

/** As a tool comes onto the bench. */
export const AS_BOOKED_IN: ToolState = {
  pack: "out",
  charger: "unplugged",
  case: "closed",
  mains: "unplugged",
  motor: "connected",
};

export function isAsBookedIn(state: ToolState): boolean {
  return FIELDS.every((field) => state[field] === AS_BOOKED_IN[field]);
}

/** The state after a step has been done; a measurement that wants no open case closes none. */
export function stateAfter(step: Step, state: ToolState): ToolState {
  const next: Record<string, string> = { ...state };
  if (step.kind === "do") Object.assign(next, step.sets);
  for (const [field, value] of stateNeeded(step, state)) next[field] = value;
  return next as ToolState;
}

/** What has to change before a measuring step can be taken, as [field, value]; power off first. */
export function stateNeeded(step: Step, state: ToolState): [string, string][] {
  if (step.kind !== "measure") return [];
  const wanted = step.condition;
  return FIELDS.filter((field) => !serves(field, state[field], wanted[field]))
    .map((field): [string, string] => [field, wanted[field]])
    .sort((a, b) => rank(a) - rank(b));
}

/** An opened case does not hinder a step that needs none open; everything else must be as told. */
export function serves(field: string, is: string, wanted: string): boolean {
  return is === wanted || (field === "case" && is === "open" && wanted === "closed");
}

function rank([, value]: readonly [string, string]): number {
  if (value === "out" || value === "unplugged") return 0;
  return ["in", "at-motor", "plugged"].includes(value) ? 2 : 1;
}
