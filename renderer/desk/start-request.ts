import type { CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { BookingData } from "./booking-fields.js";

/** A job whose tool is run again after the repair. */
export interface RepeatPreset {
  readonly repeats: string;
  readonly planId: string;
  readonly tool: CallResult<"readJob">["tool"];
}

/** What was chosen at the start screen, as the bench wants it: what stayed empty is not said. */
export function startRequest(
  plan: string,
  meters: readonly string[],
  booking: BookingData,
  table: string,
  repeats: string | null = null,
): CallParams<"startRun"> {
  const { make, model, serial, complaint, condition, warranty } = booking;
  const { customer: name, contact, reference } = booking;
  const tool = { make, model, serial, complaint, condition, warranty };
  const named = [make, model, serial, complaint, condition].some((words) => words !== "");
  const known = [name, contact, reference].some((words) => words !== "");
  return {
    plan,
    meters: [...meters],
    ...(named ? { tool } : {}),
    ...(known ? { customer: { name, contact, reference } } : {}),
    ...(table === "" ? {} : { table }),
    ...(repeats === null ? {} : { repeats }),
  };
}
