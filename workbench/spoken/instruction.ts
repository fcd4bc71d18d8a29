import type { Step } from "../plan/schema.js";
import type { ToolState } from "../plan/tool-state.js";
import { stateNeeded } from "../plan/tool-state.js";

const STATE_WORDS: Readonly<Record<string, string>> = {
  "pack in": "put the pack in",
  "pack out": "take the pack out",
  "pack at-motor": "clip the known supply to the motor, still switched off",
  "charger plugged": "plug the charger in",
  "charger unplugged": "unplug the charger",
  "case open": "open the case",
  "case closed": "close the case",
  "case motor-out": "take the motor out",
  "mains plugged": "plug the mains in",
  "mains unplugged": "unplug the mains",
  "motor connected": "connect the motor again",
  "motor disconnected": "disconnect the motor",
};

/**
 * What is said when a step begins. Where the tool is not in the state that the step needs (a step
 * repeated, skipped or taken out of order), that is said first.
 */
export function instructionWords(step: Step, state: ToolState): string {
  const first = stateNeeded(step, state).map(([field, value]) =>
    field === "pack" && state.pack === "at-motor"
      ? `take the supply off the motor${value === "in" ? " and put the pack in" : ""}`
      : (STATE_WORDS[`${field} ${value}`] ?? `${field} ${value}`),
  );
  return first.length === 0
    ? step.instruction
    : `First ${first.join(", then ")}. ${step.instruction}`;
}
