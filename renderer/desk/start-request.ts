import type { CallParams, CallResult } from "../../workbench/contract/calls.js";
import type { Order } from "../../workbench/contract/events.js";
import type { BookingData } from "./booking-fields.js";

/** A job whose tool is run again after the repair. */
export interface RepeatPreset {
  readonly repeats: string;
  readonly planId: string;
  readonly tool: CallResult<"readJob">["tool"];
}

export interface ChosenMeter {
  readonly address: string;
  /** Name of its accuracy table; empty: not known. */
  readonly table: string;
}

/** What was chosen at the start screen, as the bench wants it: what stayed empty is not said. */
export function startRequest(
  plan: string,
  meters: readonly ChosenMeter[],
  booking: BookingData,
  repeats: string | null = null,
  order: Order | null = null,
): CallParams<"startRun"> {
  const { make, model, serial, complaint, condition, warranty } = booking;
  const { customer: name, contact, reference } = booking;
  const tool = { make, model, serial, complaint, condition, warranty };
  const tables = meters.map(({ table }) => table);
  const named = [make, model, serial, complaint, condition].some((words) => words !== "");
  const known = [name, contact, reference].some((words) => words !== "");
  return {
    plan,
    meters: meters.map(({ address }) => address),
    ...(named ? { tool } : {}),
    ...(known ? { customer: { name, contact, reference } } : {}),
    ...(tables.some((table) => table !== "") ? { tables } : {}),
    ...(order === null ? {} : { order }),
    ...(repeats === null ? {} : { repeats }),
  };
}
