import type { ProtocolOptions } from "../protocol.js";
import { badOption, choice, numeric } from "../text/options.js";
import { FUNCTIONS, longForm, shortForm } from "./functions.js";
import type { InstrumentFunction } from "./functions.js";

/** How numbers come inside a block. */
export type BlockFormat = "ascii" | "real-32" | "real-64";

export const SCPI_OPTION_NAMES = [
  "function",
  "range",
  "mode",
  "samples",
  "form",
  "terminator",
  "timeout_s",
  "interval_s",
  "block",
  "border",
] as const;

/**
 * How to talk to one instrument, from its address:
 *
 * | option     | meaning                                                                |
 * | ---------- | ---------------------------------------------------------------------- |
 * | function   | voltage-dc, current-dc, …; two with a comma between them alternate; without it the instrument's own setting is asked for and left alone |
 * | range      | expected value for each function, in its unit; auto (default)          |
 * | mode       | read (default), fetch, continuous, measure, listen (never sends)       |
 * | samples    | readings a trigger, 1 by default                                       |
 * | form       | short (default) or long mnemonics                                      |
 * | terminator | lf (default), crlf or cr: ends what is sent; with cr, replies end so too |
 * | timeout_s  | how long to wait for a reply, 5 by default; grows with a slow instrument |
 * | interval_s | least time between two questions, 0 by default                         |
 * | block      | numbers in blocks are ascii (default), real-32, real-64                |
 * | border     | normal (default: high byte first) or swapped                           |
 */
export interface ScpiOptions {
  readonly functions: readonly ChosenFunction[];
  readonly mode: "read" | "fetch" | "continuous" | "measure" | "listen";
  readonly samples: number;
  readonly timeout_s: number;
  readonly interval_s: number;
  readonly block: BlockFormat;
  readonly swapped: boolean;
  /** Ends each line that is sent. */
  readonly terminator: string;
  /** The byte that ends a reply. */
  readonly replyEnd: number;
  /** A mnemonic in the chosen form. */
  readonly form: (mnemonics: string) => string;
}

export interface ChosenFunction extends InstrumentFunction {
  /** In the unit of the function; null leaves ranging to the instrument. */
  readonly range: number | null;
}

const TERMINATORS = { lf: "\n", crlf: "\r\n", cr: "\r" } as const;

export function scpiOptions(options: ProtocolOptions): ScpiOptions {
  const functions = functionsOf(options);
  const terminator = TERMINATORS[choice(options, "terminator", ["lf", "crlf", "cr"], "lf")];
  const mode = choice(
    options,
    "mode",
    ["read", "fetch", "continuous", "measure", "listen"],
    "read",
  );
  if (mode === "measure" && functions.length === 0) {
    throw badOption("mode", mode, "read, or name the function as well");
  }
  return {
    functions,
    mode,
    samples: Math.floor(numeric(options, "samples", 1, 1)),
    timeout_s: numeric(options, "timeout_s", 0.05, 5),
    interval_s: numeric(options, "interval_s", 0, 0),
    block: choice(options, "block", ["ascii", "real-32", "real-64"], "ascii"),
    swapped: choice(options, "border", ["normal", "swapped"], "normal") === "swapped",
    terminator,
    replyEnd: terminator.charCodeAt(terminator.length - 1),
    form: choice(options, "form", ["short", "long"], "short") === "long" ? longForm : shortForm,
  };
}

function functionsOf(options: ProtocolOptions): ChosenFunction[] {
  const given = options["function"];
  if (given === undefined || given === "") return [];
  const ranges = (options["range"] ?? "").split(",");
  return given.split(",").map((name, n) => {
    const known = FUNCTIONS.get(name.trim());
    if (known === undefined) throw badOption("function", name, [...FUNCTIONS.keys()].join(", "));
    return { ...known, range: rangeOf(ranges[n] ?? "") };
  });
}

function rangeOf(text: string): number | null {
  if (text === "" || text === "auto") return null;
  const range = Number(text);
  if (!Number.isFinite(range)) throw badOption("range", text, "a number or auto");
  return range;
}
