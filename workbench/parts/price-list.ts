import { parse } from "csv-parse/browser/esm/sync";
import { z } from "zod";
import { LeadhandError } from "../../protocols/error.js";
import { unknownName } from "../diagnosis/nearest.js";
import type { ToolModel } from "../models/model.js";

/** Something that can be bought for a tool: a part alone or an assembly of several. */
export interface Item {
  /** The shop's or supplier's number. */
  readonly number: string;
  readonly label: string;
  /** Parts of the model that it replaces. */
  readonly covers: readonly string[];
  /** In the list's currency. */
  readonly price: number;
  /** Fitting it once the tool is open, minutes. */
  readonly fit_min: number;
}

export interface PriceList {
  /** ISO 4217 code, as the file writes it. */
  readonly currency: string;
  readonly items: readonly Item[];
}

export const PRICE_COLUMNS = ["number", "label", "covers", "price", "currency", "fit_min"] as const;

const rowSchema = z.object({
  number: z.string().min(1, "is empty"),
  label: z.string().min(1, "is empty"),
  covers: z.string().min(1, "is empty: name the parts it replaces, joined by semicolons"),
  price: amount("an amount such as 12.50"),
  currency: z.string().regex(/^[A-Z]{3}$/, "is no currency code of three capital letters"),
  fit_min: amount("minutes such as 5"),
});

function amount(example: string) {
  return z
    .string()
    .regex(/^\d+(\.\d+)?$/, `is not ${example}`)
    .transform(Number);
}

/**
 * The shop's prices from CSV (RFC 4180, header `number,label,covers,price,currency,fit_min`;
 * `covers` holds part ids joined by semicolons). Throws with line and column where it is wrong.
 */
export function readPriceList(csv: string, model: ToolModel): PriceList {
  const rows = records(csv);
  const known = model.parts.map((part) => part.id);
  const items: Item[] = [];
  const currency = rows[0]?.record["currency"] ?? "";
  for (const { record, line } of rows) {
    const row = rowSchema.safeParse(record);
    if (!row.success) {
      const [issue] = row.error.issues;
      const column = String(issue?.path[0] ?? "");
      throw wrong(line, column, `"${record[column] ?? ""}" ${issue?.message ?? "is wrong"}`);
    }
    const covers = row.data.covers.split(";").map((id) => id.trim());
    for (const id of covers) {
      if (!known.includes(id)) throw wrong(line, "covers", unknownName("part", id, known));
    }
    if (items.some((one) => one.number === row.data.number)) {
      throw wrong(line, "number", `"${row.data.number}" stands there twice`);
    }
    if (row.data.currency !== currency) {
      throw wrong(line, "currency", `"${row.data.currency}" differs from "${currency}" above`);
    }
    const { number, label, price, fit_min } = row.data;
    items.push({ number, label, covers, price, fit_min });
  }
  if (items.length === 0) throw wrong(2, "number", "there is no item in the file");
  return { currency, items };
}

const OPTIONS = {
  columns: checkedHeader,
  info: true,
  trim: true,
  bom: true,
  skip_empty_lines: true,
  record_delimiter: ["\r\n", "\n", "\r"] as string[],
};

interface Line {
  readonly record: Readonly<Record<string, string>>;
  readonly line: number;
}

function records(csv: string): Line[] {
  let parsed: { record: Record<string, string>; info: { lines: number } }[];
  try {
    parsed = parse(csv, OPTIONS) as never;
  } catch (cause) {
    if (cause instanceof LeadhandError) throw cause;
    throw new LeadhandError("input/price-list", {
      what: `The price list is not CSV: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: `Save it as CSV with the header ${PRICE_COLUMNS.join(",")}.`,
      cause,
    });
  }
  return parsed.map(({ record, info }) => ({ record, line: info.lines }));
}

function checkedHeader(header: string[]): string[] {
  for (const column of PRICE_COLUMNS) {
    if (!header.includes(column)) throw wrong(1, column, "this column is missing");
  }
  return header;
}

function wrong(line: number, column: string, what: string): LeadhandError {
  return new LeadhandError("input/price-list", {
    what: `Price list, line ${line}, column ${column}: ${what}.`,
    action: "Correct the file and import it again; nothing of it was taken over.",
  });
}
