/** Sources of limits that several plans use, word for word as the record shows them. */
export const PRACTICE = "common practice, no source";
export const CELL_FULL =
  "4.25 V a cell, upper limit charging voltage, IEC 62133-2:2017 (from memory)";
