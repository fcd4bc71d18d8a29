import { LeadhandError } from "../../../protocols/error.js";
import { kindUnknown, knownModel } from "../../../workbench/diagnosis/known-model.js";
import { reportLines } from "../../../workbench/diagnosis/report-text.js";
import type { JobTool } from "../../../workbench/job/job-file.js";
import { decisionLines } from "../../../workbench/parts/decision-text.js";
import { demoPrices } from "../../../workbench/parts/demo-prices.js";
import { jobFinding } from "../../run/job-report.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";
import { decided, withPartsOptions } from "../parts-options.js";
import type { PartsOptions } from "../parts-options.js";

interface Options extends PartsOptions {
  readonly demoPrices?: string;
  readonly json?: boolean;
}

export const registerParts: Register = (program, { io, done }) => {
  const command = program
    .command("parts")
    .description("what a job's finding costs: repair against replacement, and the parts to order")
    .argument("[job]", "folder of the job")
    .option("--demo-prices <kind>", "print an invented price list for a kind of tool (CSV)")
    .option("--json", "one JSON object on standard output")
    .action(async (job: string | undefined, options: Options) => {
      if (options.demoPrices === undefined) await tell(io, job, options);
      else io.out(demoPrices(knownModel(options.demoPrices)).trimEnd());
      done(EXIT.done);
    });
  withPartsOptions(command);
};

async function tell(io: Io, job: string | undefined, options: Options): Promise<void> {
  if (job === undefined) {
    throw new LeadhandError("usage/no-job", {
      what: "No job was named.",
      action: "Name the folder of a job, or print a price list with --demo-prices KIND.",
    });
  }
  const { file, model, report } = await jobFinding(job);
  if (model === null || report === null) throw kindUnknown(file.plan.tool.kind);
  const decision = await decided(io, model, report, options, options.warranty ?? booked(file.tool));
  if (options.json === true) io.out(JSON.stringify({ ...report, decision }));
  else {
    const lines = [...reportLines(report), ...(decision === null ? [] : decisionLines(decision))];
    for (const line of lines) io.out(line);
  }
}

/** As it was booked in, where nobody says otherwise now. */
function booked({ warranty }: JobTool): PartsOptions["warranty"] {
  if (warranty === "unknown") return undefined;
  return warranty === "warranty" ? "open" : "ended";
}
