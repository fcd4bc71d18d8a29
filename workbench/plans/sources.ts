/** Sources of limits that several plans use, word for word as the record shows them. */
export const PRACTICE = "common practice, no source";
export const CELL_FULL =
  "4.25 V a cell, upper limit charging voltage, IEC 62133-2:2017 (from memory)";
/** Repair test of electrical equipment; figures as in VDE 0701-0702:2008-06, kept by its successor. */
export const REPAIR_TEST = "EN 50678:2020, EN 50699:2020 (from memory)";
