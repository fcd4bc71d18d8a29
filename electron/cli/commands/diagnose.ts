import { readFile, writeFile } from "node:fs/promises";
import { InvalidArgumentError, Option } from "commander";
import { LeadhandError } from "../../../protocols/error.js";
import { unknownName } from "../../../workbench/diagnosis/nearest.js";
import { pointsList } from "../../../workbench/diagnosis/points-list.js";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import { pointsLines, reportLines } from "../../../workbench/diagnosis/report-text.js";
import { KINDS, modelOf } from "../../../workbench/models/kinds.js";
import { USUAL_TERMS, decide } from "../../../workbench/parts/decision.js";
import type { Terms } from "../../../workbench/parts/decision.js";
import { decisionLines } from "../../../workbench/parts/decision-text.js";
import { partsCsv } from "../../../workbench/parts/parts-csv.js";
import { readPriceList } from "../../../workbench/parts/price-list.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";

interface Options {
  readonly points?: string;
  readonly json?: boolean;
  readonly prices?: string;
  readonly partsList?: string;
  readonly newTool?: number;
  readonly warranty?: "open" | "ended";
  readonly threshold?: number;
}

export const registerDiagnose: Register = (program, { io, done }) => {
  program
    .command("diagnose")
    .description("reason out from readings which parts are at fault and what to probe next")
    .argument("[file]", 'readings file (JSON); "-" reads standard input')
    .option("--points <kind>", "list the points, conditions and observations of a kind of tool")
    .option("--prices <file>", "the shop's price list (CSV): adds repair against replacement")
    .option("--parts-list <file>", "write the items to order as CSV; needs --prices")
    .option("--new-tool <amount>", "what a replacement costs, in the list's currency", amount)
    .addOption(new Option("--warranty <state>", "open or ended").choices(["open", "ended"]))
    .option("--threshold <odds>", "replace parts from these odds on, 0 to 1", odds)
    .option("--json", "one JSON object on standard output")
    .action(async (file: string | undefined, options: Options) => {
      const { object, lines } =
        options.points === undefined ? await diagnosed(io, file, options) : listed(options.points);
      if (options.json === true) io.out(JSON.stringify(object));
      else for (const line of lines()) io.out(line);
      done(EXIT.done);
    });
};

interface Printed {
  readonly object: unknown;
  readonly lines: () => string[];
}

function listed(kind: string): Printed {
  const model = modelOf(kind);
  if (model === null) {
    throw new LeadhandError("diagnosis/kind", {
      what: `${unknownName("kind of tool", kind, KINDS)}.`,
      action: `Known are: ${KINDS.join(", ")}.`,
    });
  }
  const list = pointsList(model);
  return { object: list, lines: () => pointsLines(list) };
}

async function diagnosed(io: Io, file: string | undefined, options: Options): Promise<Printed> {
  if (file === undefined) {
    throw new LeadhandError("usage/no-readings", {
      what: "No readings file was named.",
      action: `Name one, or list what it may say with --points KIND (${KINDS.join(", ")}).`,
    });
  }
  const { model, observations, cautions, stopBelow } = readCase(parse(file, await text(io, file)));
  const made = report(model, observations, cautions, stopBelow);
  if (options.prices === undefined) {
    if (options.partsList !== undefined) throw needsPrices();
    return { object: made, lines: () => reportLines(made) };
  }
  const prices = readPriceList(await text(io, options.prices), model);
  const decision = decide(model, made, prices, termsOf(options));
  if (options.partsList !== undefined) await writeParts(options.partsList, partsCsv(decision));
  return {
    object: { ...made, decision },
    lines: () => [...reportLines(made), ...decisionLines(decision)],
  };
}

function needsPrices(): LeadhandError {
  return new LeadhandError("usage/no-prices", {
    what: "A parts list needs prices.",
    action: "Name the price list with --prices FILE.csv.",
  });
}

function termsOf({ newTool, warranty, threshold }: Options): Terms {
  return {
    ...USUAL_TERMS,
    ...(threshold === undefined ? {} : { threshold }),
    newTool: newTool ?? null,
    underWarranty: warranty === undefined ? null : warranty === "open",
  };
}

async function writeParts(file: string, csv: string): Promise<void> {
  try {
    await writeFile(file, csv, { flag: "wx" });
  } catch (cause) {
    throw new LeadhandError("input/unwritable-file", {
      what: `The parts list ${file} cannot be written: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: "Name a file that does not exist yet, in a folder that you may write to.",
      cause,
    });
  }
}

function amount(value: string): number {
  if (!/^\d+(\.\d+)?$/.test(value)) throw new InvalidArgumentError("An amount such as 129.90.");
  return Number(value);
}

function odds(value: string): number {
  const share = amount(value);
  if (share <= 0 || share > 1) throw new InvalidArgumentError("Odds above 0 and up to 1.");
  return share;
}

async function text(io: Io, file: string): Promise<string> {
  if (file === "-") {
    const chunks: Uint8Array[] = [];
    for await (const chunk of io.stdin) chunks.push(chunk);
    return Buffer.concat(chunks).toString("utf8");
  }
  try {
    return await readFile(file, "utf8");
  } catch (cause) {
    throw new LeadhandError("input/unreadable-file", {
      what: `The file ${file} cannot be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: "Check its name and that you may read it.",
      cause,
    });
  }
}

function parse(file: string, content: string): unknown {
  try {
    return JSON.parse(content.replace(/^\uFEFF/, ""));
  } catch (cause) {
    throw new LeadhandError("input/not-json", {
      what: `${file} is not JSON: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: "Correct it; `leadhand diagnose --points KIND` shows an example.",
      cause,
    });
  }
}
