import { readFile } from "node:fs/promises";
import { parse } from "csv-parse/sync";
import { LeadhandError } from "../../protocols/error.js";
import { coarsestCount } from "../../workbench/measurement/sag/precision.js";

/** A recorded trace from a CSV file (RFC 4180) with a header line. */
export interface TraceFile {
  readonly time_s: number[];
  readonly voltage_V: number[];
  readonly current_A: number[] | null;
  /** The value of one count as the file writes voltages; null where they were not rounded. */
  readonly resolution_V: number | null;
}

const COLUMNS = ["time_s", "voltage_V"] as const;
/** More decimals than any meter shows: the file holds unrounded doubles. */
const MOST_DECIMALS = 7;

/** No hexadecimal, no words. */
const DECIMAL = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

interface Row {
  readonly record: readonly string[];
  readonly info: { readonly lines: number };
}

/** Reads a trace, or says in which line what is wrong. */
export async function readTrace(path: string): Promise<TraceFile> {
  const rows = parseRows(path, await readText(path));
  const [header, ...body] = rows;
  const names = header?.record.map((name) => name.trim()) ?? [];
  const [time = -1, voltage = -1] = COLUMNS.map((name) => columnOf(path, names, name));
  const current = names.indexOf("current_A");
  const time_s = body.map((row) => numberAt(path, row, time, "time_s"));
  body.forEach((row, k) => {
    if (k > 0 && (time_s[k] as number) < (time_s[k - 1] as number)) {
      throw new LeadhandError("input/time-order", {
        what: `In ${path}, line ${row.info.lines}, time_s goes back from ${time_s[k - 1] ?? ""} to ${time_s[k] ?? ""}.`,
        action: "Sort the rows by time, or split the file where the clock was set back.",
      });
    }
  });
  const voltage_V = body.map((row) => numberAt(path, row, voltage, "voltage_V"));
  return {
    time_s,
    voltage_V,
    current_A: current < 0 ? null : body.map((row) => numberAt(path, row, current, "current_A")),
    resolution_V: resolutionOf(
      body.map(({ record }) => record[voltage] ?? ""),
      voltage_V,
    ),
  };
}

async function readText(path: string): Promise<string> {
  let text: string;
  try {
    text = await readFile(path, "utf8");
  } catch (cause) {
    const why = (cause as NodeJS.ErrnoException).code ?? String(cause);
    throw new LeadhandError("input/file", {
      what: `The file ${path} cannot be read (${why}).`,
      action: "Check the name and that you may read it.",
      cause,
    });
  }
  // What no text in UTF-8 holds: another encoding, or no text at all.
  if (text.includes("\0")) {
    throw new LeadhandError("input/csv", {
      what: `${path} is not text in UTF-8.`,
      action: "Save it as CSV in UTF-8.",
    });
  }
  return text;
}

function parseRows(path: string, text: string): Row[] {
  try {
    return parse(text, {
      bom: true,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      comment: "#",
      comment_no_infix: true,
    }) as unknown as Row[];
  } catch (cause) {
    throw new LeadhandError("input/csv", {
      what: `${path} is not CSV: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: "Write comma-separated values with a header line (RFC 4180).",
      cause,
    });
  }
}

function columnOf(path: string, names: readonly string[], name: string): number {
  const at = names.indexOf(name);
  if (at >= 0) return at;
  const found = names.length === 0 ? "the file is empty" : `it has ${names.join(", ")}`;
  throw new LeadhandError("input/column", {
    what: `${path} has no column ${name}; ${found}.`,
    action: names.some((each) => /[;\t]/.test(each))
      ? "Separate the columns by commas and write a decimal point (RFC 4180)."
      : "Name the columns time_s, voltage_V and, where there is one, current_A in the first line.",
  });
}

function numberAt(path: string, { record, info }: Row, column: number, name: string): number {
  const text = (record[column] ?? "").trim();
  const value = DECIMAL.test(text) ? Number(text) : Number.NaN;
  if (Number.isFinite(value)) return value;
  const shown = text === "" ? "empty" : `"${text}"`;
  throw new LeadhandError("input/number", {
    what: `In ${path}, line ${info.lines}, ${name} is ${shown}, not a number.`,
    action: "Write plain numbers with a decimal point; leave out rows without a reading.",
  });
}

/** One unit of the last decimal that any row shows; null where no meter is that fine or that coarse. */
function resolutionOf(texts: readonly string[], values: readonly number[]): number | null {
  let most = 0;
  for (const text of texts) {
    if (/e/i.test(text)) return null;
    const point = text.indexOf(".");
    if (point >= 0) most = Math.max(most, text.trim().length - point - 1);
  }
  if (most > MOST_DECIMALS) return null;
  const count = Number(`1e-${most}`);
  const largest = values.reduce((a, b) => Math.max(a, Math.abs(b)), 0);
  return largest > 0 && count > coarsestCount(largest) ? null : count;
}
