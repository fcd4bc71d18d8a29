import { writeFile } from "node:fs/promises";
import { InvalidArgumentError, Option } from "commander";
import type { Command } from "commander";
import { LeadhandError } from "../../protocols/error.js";
import type { Report } from "../../workbench/diagnosis/report.js";
import type { ToolModel } from "../../workbench/models/model.js";
import { USUAL_TERMS, decide } from "../../workbench/parts/decision.js";
import type { Decision, Terms } from "../../workbench/parts/decision.js";
import { partsCsv } from "../../workbench/parts/parts-csv.js";
import { readPriceList } from "../../workbench/parts/price-list.js";
import { text } from "./input-text.js";
import type { Io } from "./io.js";

export interface PartsOptions {
  readonly prices?: string;
  readonly partsList?: string;
  readonly newTool?: number;
  readonly warranty?: "open" | "ended";
  readonly threshold?: number;
}

export function withPartsOptions(command: Command): void {
  command
    .option("--prices <file>", "the shop's price list (CSV): adds repair against replacement")
    .option("--parts-list <file>", "write the items to order as CSV; needs --prices")
    .option("--new-tool <amount>", "what a replacement costs, in the list's currency", amount)
    .addOption(new Option("--warranty <state>", "open or ended").choices(["open", "ended"]))
    .option("--threshold <odds>", "replace parts from these odds on, 0 to 1", odds);
}

/** Repair against replacement, and the parts list where one is wanted; null without prices. */
export async function decided(
  io: Io,
  model: ToolModel,
  report: Report,
  options: PartsOptions,
  warranty: PartsOptions["warranty"],
): Promise<Decision | null> {
  if (options.prices === undefined) {
    if (options.partsList !== undefined) throw needsPrices();
    return null;
  }
  const prices = readPriceList(await text(io, options.prices), model);
  const decision = decide(model, report, prices, termsOf(options, warranty));
  if (options.partsList !== undefined) await writeParts(options.partsList, partsCsv(decision));
  return decision;
}

function termsOf({ newTool, threshold }: PartsOptions, warranty: PartsOptions["warranty"]): Terms {
  return {
    ...USUAL_TERMS,
    ...(threshold === undefined ? {} : { threshold }),
    newTool: newTool ?? null,
    underWarranty: warranty === undefined ? null : warranty === "open",
  };
}

function needsPrices(): LeadhandError {
  return new LeadhandError("usage/no-prices", {
    what: "A parts list needs prices.",
    action: "Name the price list with --prices FILE.csv.",
  });
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
