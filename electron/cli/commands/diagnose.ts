import { readFile } from "node:fs/promises";
import { LeadhandError } from "../../../protocols/error.js";
import { unknownName } from "../../../workbench/diagnosis/nearest.js";
import { pointsList } from "../../../workbench/diagnosis/points-list.js";
import { readCase } from "../../../workbench/diagnosis/readings-file.js";
import { report } from "../../../workbench/diagnosis/report.js";
import { pointsLines, reportLines } from "../../../workbench/diagnosis/report-text.js";
import { KINDS, modelOf } from "../../../workbench/models/kinds.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";

interface Options {
  readonly points?: string;
  readonly json?: boolean;
}

export const registerDiagnose: Register = (program, { io, done }) => {
  program
    .command("diagnose")
    .description("reason out from readings which parts are at fault and what to probe next")
    .argument("[file]", 'readings file (JSON); "-" reads standard input')
    .option("--points <kind>", "list the points, conditions and observations of a kind of tool")
    .option("--json", "one JSON object on standard output")
    .action(async (file: string | undefined, options: Options) => {
      const { object, lines } =
        options.points === undefined ? await diagnosed(io, file) : listed(options.points);
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

async function diagnosed(io: Io, file: string | undefined): Promise<Printed> {
  if (file === undefined) {
    throw new LeadhandError("usage/no-readings", {
      what: "No readings file was named.",
      action: `Name one, or list what it may say with --points KIND (${KINDS.join(", ")}).`,
    });
  }
  const { model, observations, cautions, stopBelow } = readCase(parse(file, await text(io, file)));
  const made = report(model, observations, cautions, stopBelow);
  return { object: made, lines: () => reportLines(made) };
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
      what: `The readings file ${file} cannot be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
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
