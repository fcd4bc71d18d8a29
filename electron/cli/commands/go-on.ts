import { systemClock } from "../../../drivers/clock.js";
import { prepareGoOn } from "../../run/prepare.js";
import type { Register } from "../command.js";
import { patienceOf, runPrepared } from "./run.js";
import { jsonReporter, wordReporter } from "./run-report.js";

export const registerGoOn: Register = (program, { io, done }) => {
  program
    .command("go-on")
    .argument("<job>", "folder of a job whose run was interrupted")
    .description("go on with an interrupted run where its last bytes left it")
    .option("--patience <seconds>", "how long a meter may be missing", "30")
    .option("--json", "one event a line on standard output")
    .action(async (folder: string, { patience, json }: { patience: string; json?: true }) => {
      const prepared = await prepareGoOn(folder, systemClock);
      const reporter = json ? jsonReporter(io) : wordReporter(io);
      done(await runPrepared(prepared, patienceOf(patience), reporter));
    });
};
