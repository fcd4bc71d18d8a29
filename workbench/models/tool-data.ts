import { z } from "zod";

/** What is known of the tool on the bench; everything has a default that suits an 18 V tool. */
export const toolDataSchema = z.strictObject({
  nominal_V: z.number().positive().max(400).optional(),
  /** Cells in series. */
  cells: z.int().positive().max(100).optional(),
  trigger: z.enum(["mechanical", "electronic", "unknown"]).optional(),
  charger: z.enum(["always-live", "silent-without-pack", "unknown"]).optional(),
});
export type ToolData = z.infer<typeof toolDataSchema>;

export interface PackData {
  readonly nominal_V: number;
  readonly cells: number;
}

/** Nominal voltage of a lithium-ion cell, from memory of the common data-sheet figure. */
const CELL_V = 3.6;

/** Fills in nominal voltage from cells or cells from nominal voltage. */
export function packData(data: ToolData): PackData {
  const nominal_V = data.nominal_V ?? (data.cells === undefined ? 18 : data.cells * CELL_V);
  const cells = data.cells ?? Math.max(1, Math.round(nominal_V / CELL_V));
  return { nominal_V, cells };
}
