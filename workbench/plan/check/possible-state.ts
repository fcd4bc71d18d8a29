import type { Plan, Step } from "../schema.js";
import { AS_BOOKED_IN, FIELDS, serves } from "../tool-state.js";
import type { StateField } from "../tool-state.js";

/** What each field of the tool's state may be: more than one value after a step that may be skipped. */
export type PossibleState = Readonly<Record<StateField, ReadonlySet<string>>>;

/** The possible states before each step of the plan, in order. */
export function statesBefore(plan: Plan): PossibleState[] {
  return plan.steps.map((step, at) => stateBefore(plan.steps.slice(0, at), step));
}

/**
 * A `do` step that has needs may be skipped, and then what it sets is uncertain; except for a step
 * that itself needs that one to have been done.
 */
function stateBefore(earlier: readonly Step[], step: Step): PossibleState {
  const needed = step.needs.map((need) => need.step);
  const state = start();
  for (const done of earlier) {
    if (done.kind !== "do") continue;
    const skippable = done.needs.length > 0 && !needed.includes(done.id);
    for (const field of FIELDS) {
      const value = done.sets[field];
      if (value === undefined) continue;
      const before = skippable ? state[field] : [];
      state[field] = new Set([...before, value]);
    }
  }
  return state;
}

function start(): Record<StateField, ReadonlySet<string>> {
  const entries = FIELDS.map((field) => [field, new Set([AS_BOOKED_IN[field]])]);
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
    state.charger.has("plugged") ? "the charger is plugged in" : null,
    state.mains.has("plugged") ? "the mains is plugged in" : null,
  ];
  return feeds.filter((feed) => feed !== null);
}
