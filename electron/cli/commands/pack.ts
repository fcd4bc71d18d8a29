import type { Command } from "commander";
import { LeadhandError } from "../../../protocols/error.js";
import { packJob } from "../../../workbench/claim/pack.js";
import { browserPrinter, findPrinter } from "../../../workbench/claim/print-pdf.js";
import {
  defaultKeyPath,
  groupedFingerprint,
  openShopKey,
} from "../../../workbench/claim/shop-key.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";
import { programVersion } from "../../version.js";

interface Options {
  readonly out: string;
  readonly customer: boolean;
  readonly before?: string;
  readonly shop: string;
  readonly paper: string;
  readonly signWith?: string;
  readonly pdf: boolean;
  readonly json?: true;
}

export const registerPack: Register = (program, { io, done }) => {
  addOptions(program.command("pack")).action(async (folder: string, options: Options) => {
    const printer = findPrinter(io.env);
    const printPdf = printer === null ? null : browserPrinter(printer);
    const packed = await packJob(folder, {
      out: options.out,
      key: await openShopKey(options.signWith ?? defaultKeyPath(io.env)),
      shop: options.shop,
      withCustomer: options.customer,
      before: options.before ?? null,
      paper: paperOf(options.paper),
      packedOn: new Date().toISOString().slice(0, 10),
      programVersion: programVersion(),
      printPdf: options.pdf ? printPdf : "not-wanted",
    });
    for (const warning of packed.warnings) io.err(warning);
    if (options.json) io.out(JSON.stringify({ event: "packed", ...packed }));
    else tell(packed, io);
    done(EXIT.done);
  });
};

function addOptions(command: Command): Command {
  return command
    .argument("<job>", "folder of the job")
    .description("make a signed claim pack of a job")
    .requiredOption("--out <zip>", "where to put it")
    .option("--without-customer", "leave out who the customer is")
    .option("--before <job>", "the run before the repair, to stand beside this one")
    .option("--shop <name>", "name of the shop, for the report", "")
    .option("--paper <size>", "A4 or Letter", "A4")
    .option("--sign-with <file>", "the shop's key, when not the one kept by the program")
    .option("--no-pdf", "no PDF beside the HTML report")
    .option("--json", "one JSON object")
    .on("option:without-customer", () => command.setOptionValue("customer", false))
    .setOptionValue("customer", true);
}

function tell(
  {
    out,
    files,
    bytes,
    fingerprint,
  }: { out: string; files: number; bytes: number; fingerprint: string },
  io: Io,
): void {
  io.out(`${out}: ${files} files, ${bytes} bytes of evidence, signed.`);
  io.out(`Fingerprint of the shop's key: ${groupedFingerprint(fingerprint)}`);
}

function paperOf(text: string): "A4" | "Letter" {
  const paper = (["A4", "Letter"] as const).find(
    (each) => each.toLowerCase() === text.toLowerCase(),
  );
  if (paper !== undefined) return paper;
  throw new LeadhandError("usage/paper", {
    what: `There is no paper "${text}".`,
    action: "Write --paper A4 or --paper Letter.",
  });
}
