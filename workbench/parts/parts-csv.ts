import type { Decision } from "./decision.js";

const HEADER = ["number", "label", "covers", "price", "currency"];

/** The chosen items as CSV (RFC 4180: CRLF, quotes where needed); only a header where none is chosen. */
export function partsCsv({ repair, currency }: Decision): string {
  const rows = (repair?.items ?? []).map((item) => [
    item.number,
    item.label,
    item.covers.join(";"),
    item.price.toFixed(2),
    currency,
  ]);
  return [HEADER, ...rows].map((row) => `${row.map(field).join(",")}\r\n`).join("");
}

/** A cell that starts like a formula gets a leading apostrophe, so that no spreadsheet runs it. */
function field(value: string): string {
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
