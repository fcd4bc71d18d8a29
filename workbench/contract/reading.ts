import { z } from "zod";
import { COUPLINGS, FLAGS, QUANTITIES, UNITS } from "../../protocols/reading.js";
import type { TimedReading } from "../../protocols/reading.js";

export { COUPLINGS, QUANTITIES };

/** The JSON of a reading, everywhere the same: command line, journal, window, exports. */
export const readingSchema = z.object({
  time_s: z.number(),
  channel: z.string(),
  quantity: z.enum(QUANTITIES),
  coupling: z.enum(COUPLINGS).nullable(),
  value: z.number().nullable(),
  overload: z.union([z.boolean(), z.enum(["positive", "negative"])]),
  unit: z.enum(UNITS),
  resolution: z.number().nullable(),
  flags: z.array(z.enum(FLAGS)),
});

/** Keys in the order of the published format; `JSON.stringify` of this is the one-line form. */
export function readingToJson(reading: TimedReading): z.input<typeof readingSchema> {
  return {
    time_s: reading.time_s,
    channel: reading.channel,
    quantity: reading.quantity,
    coupling: reading.coupling,
    value: reading.value,
    unit: reading.unit,
    resolution: reading.resolution,
    overload: reading.overload,
    flags: [...reading.flags],
  };
}
