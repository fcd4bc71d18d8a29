import { LeadhandError } from "../../../protocols/error.js";
import { knownModel } from "../../../workbench/diagnosis/known-model.js";
import { pointsList } from "../../../workbench/diagnosis/points-list.js";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import { pointsLines, reportLines } from "../../../workbench/diagnosis/report-text.js";
import { KINDS } from "../../../workbench/models/kinds.js";
import { decisionLines } from "../../../workbench/parts/decision-text.js";
import type { Register } from "../command.js";
import { text } from "../input-text.js";
import { decided, withPartsOptions } from "../parts-options.js";
import type { PartsOptions } from "../parts-options.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";

interface Options extends PartsOptions {
  readonly points?: string;
  readonly json?: boolean;
}

export const registerDiagnose: Register = (program, { io, done }) => {
  const command = program
    .command("diagnose")
    .description("reason out from readings which parts are at fault and what to probe next")
    .argument("[file]", 'readings file (JSON); "-" reads standard input')
    .option("--points <kind>", "list the points, conditions and observations of a kind of tool")
    .option("--json", "one JSON object on standard output")
    .action(async (file: string | undefined, options: Options) => {
      const { object, lines } =
        options.points === undefined ? await diagnosed(io, file, options) : listed(options.points);
      if (options.json === true) io.out(JSON.stringify(object));
      else for (const line of lines()) io.out(line);
      done(EXIT.done);
    });
  withPartsOptions(command);
};

interface Printed {
  readonly object: unknown;
  readonly lines: () => string[];
}

function listed(kind: string): Printed {
  const list = pointsList(knownModel(kind));
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
  const decision = await decided(io, model, made, options, options.warranty);
  if (decision === null) return { object: made, lines: () => reportLines(made) };
  return {
    object: { ...made, decision },
    lines: () => [...reportLines(made), ...decisionLines(decision)],
  };
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
