import { InvalidArgumentError } from "commander";
import { LeadhandError } from "../../../protocols/error.js";
import { analyseSag, FEWEST_READINGS } from "../../../workbench/measurement/sag/analyse.js";
import type { SagReport } from "../../../workbench/measurement/sag/analyse.js";
import type { Detail } from "../../../workbench/measurement/watch.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import { readTrace } from "../trace-file.js";

interface Options {
  readonly json?: true;
  readonly edge?: number;
  readonly load?: number;
}

/** What a voltage trace tells of a pack under load. Exit 0 also where there is no squeeze. */
export const registerSag: Register = (program, { io, done }) => {
  program
    .command("sag <file>")
    .description("baseline, floor, plateau, recovery and internal resistance of a recorded trace")
    .option("--json", "one JSON object")
    .option("--edge <share>", "a drop below this share of the baseline is a squeeze", positive)
    .option("--load <ohm>", "known load, where no current was recorded", positive)
    .action(async (file: string, options: Options) => {
      const trace = await readTrace(file);
      if (trace.time_s.length < FEWEST_READINGS) {
        throw new LeadhandError("input/too-short", {
          what: `${file} has ${trace.time_s.length} readings; a sag needs at least ${FEWEST_READINGS}.`,
          action: "Record from before the squeeze until after the release.",
        });
      }
      const report = analyseSag(
        {
          time_s: trace.time_s,
          voltage_V: trace.voltage_V,
          current_A: trace.current_A ?? undefined,
          resolution_V: trace.resolution_V ?? undefined,
        },
        { ...(options.edge !== undefined && { edge: options.edge }), load_ohm: options.load },
      );
      if (options.json) io.out(JSON.stringify(reportJson(file, report)));
      else for (const line of reportText(report)) io.out(line);
      done(EXIT.done);
    });
};

export function positive(text: string): number {
  const value = Number(text);
  if (Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError("It must be a number above zero.");
}

/** Figures of the chosen squeeze at the top; every squeeze in `squeezes`. */
function reportJson(file: string, report: SagReport): unknown {
  const { figures, squeezes, notes, ...rest } = report;
  return {
    event: "sag",
    file,
    ...rest,
    ...figures,
    squeezes: squeezes.map(({ figures: own, ...squeeze }) => ({ ...squeeze, ...own })),
    notes: [...notes, ...squeezes.flatMap((squeeze) => squeeze.notes)],
  };
}

function* reportText(report: SagReport): Generator<string> {
  const { squeezes, chosen, interval_s } = report;
  const pace = interval_s > 0 ? `${(1 / interval_s).toPrecision(3)} readings a second` : "no pace";
  yield `${report.readings} readings, ${pace}, noise ${report.noise_V.toPrecision(2)} V`;
  yield `${squeezes.length} squeeze${squeezes.length === 1 ? "" : "s"}`;
  for (const [k, { kind, edge_s, release_s }] of squeezes.entries()) {
    const end = release_s === null ? "not released" : `released at ${release_s.toFixed(3)} s`;
    const mark = k === chosen && squeezes.length > 1 ? " (figures below)" : "";
    yield `  ${k + 1}: ${kind}, edge at ${edge_s.toFixed(3)} s, ${end}${mark}`;
  }
  for (const [name, detail] of Object.entries(report.figures)) yield figureLine(name, detail);
  for (const note of [...report.notes, ...squeezes.flatMap((s) => s.notes)]) yield note;
}

function figureLine(name: string, { value, unit, u, note }: Detail): string {
  const label = name.replace(/([A-Z0-9])/g, " $1").toLowerCase();
  const number =
    value === null
      ? "—"
      : `${value.toPrecision(5)} ${unit}${u === undefined ? "" : ` ± ${(2 * u).toPrecision(2)} (k = 2)`}`;
  return `${label.padEnd(24)}${number}${note ? `  ${note}` : ""}`;
}
