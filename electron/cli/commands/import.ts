import { importFolder } from "../../../workbench/jobs/folders.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import { jobsFolder } from "./jobs.js";

export const registerImport: Register = (program, { io, done }) => {
  program
    .command("import")
    .argument("<folder>", "a job, or a folder of jobs, from another bench")
    .description("copy jobs from another bench; the originals stay")
    .option("--jobs <folder>", "where to put them, where it is not the usual folder")
    .option("--json", "one JSON object a line")
    .action(async (from: string, { jobs, json }: { jobs?: string; json?: true }) => {
      const imported = await importFolder(from, jobsFolder(jobs, io));
      for (const each of imported) {
        if (json) io.out(JSON.stringify(each));
        else if (each.job !== null) io.out(`${each.from}: taken as ${each.job}`);
        else io.err(`${each.from}: not taken. ${each.why}`);
      }
      done(imported.every(({ job }) => job !== null) ? EXIT.done : EXIT.usage);
    });
};
