import { z } from "zod";

/** What is known of the tool on the bench; everything has a default that suits an 18 V tool. */
export const toolDataSchema = z.strictObject({
  nominal_V: z.number().positive().max(400).optional(),
  /** Cells in series. */
  cells: z.int().positive().max(100).optional(),
  trigger: z.enum(["mechanical", "electronic", "unknown"]).optional(),
  charger: z.enum(["always-live", "silent-without-pack", "unknown"]).optional(),
  /** Of a tool on mains: class 1 has a protective conductor, class 2 is double insulated. */
  insulation: z.enum(["class-1", "class-2", "unknown"]).optional(),
});
export type ToolData = z.infer<typeof toolDataSchema>;

export interface PackData {
  readonly nominal_V: number;
  readonly cells: number;
}

/**
 * Volts a cell by which makers name a pack of lithium-ion cells: nominal, and rounded up towards
 * full. From memory of data sheets and type plates.
 */
const NAMED_V = [3.6, 4, 3.7, 4.2];
/** A rated voltage outside this is no lithium-ion pack of so many cells, volts a cell. */
const LITHIUM_V = { low: 3.3, high: 4.25 };

/** Fills in nominal voltage from cells or cells from nominal voltage. */
export function packData(data: ToolData): PackData {
  const nominal_V = data.nominal_V ?? (data.cells === undefined ? 18 : data.cells * 3.6);
  return { nominal_V, cells: data.cells ?? cellsFor(nominal_V) };
}

/** The whole number of cells that comes nearest to one of the usual voltages. */
function cellsFor(nominal_V: number): number {
  const counts = NAMED_V.map((each_V) => {
    const cells = Math.max(1, Math.round(nominal_V / each_V));
    return { cells, off: Math.abs(cells * each_V - nominal_V) };
  });
  return counts.reduce((best, one) => (one.off < best.off - 1e-9 ? one : best)).cells;
}

/** What is wrong with the data of a tool that has a pack; null where nothing is. */
export function packMistake({ nominal_V, cells }: ToolData): string | null {
  if (nominal_V === undefined || cells === undefined) return null;
  const each_V = nominal_V / cells;
  if (each_V >= LITHIUM_V.low && each_V <= LITHIUM_V.high) return null;
  const usual = cellsFor(nominal_V);
  return `${nominal_V} V on ${cells} cells is ${each_V.toFixed(1)} V a cell, and a lithium-ion cell has 3.6 V; ${nominal_V} V would be ${usual} cells`;
}
