import { checkPlan, isRefused } from "../../../workbench/plan/check.js";
import type { Finding } from "../../../workbench/plan/check/finding.js";
import { planFor, readAccuracy } from "../../run/prepare.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

interface Options {
  readonly json?: true;
  readonly accuracy?: string;
  readonly counts?: number;
}

/**
 * Says what is wrong with a plan before anybody runs it. Findings on standard output, one a line;
 * exit 2 where one of them is an error, or where the plan does not load.
 */
export const registerCheckPlan: Register = (program, { io, done }) => {
  program
    .command("check-plan")
    .description("hazards and mistakes of a plan, before it is run")
    .argument("<plan>", "path of a plan file, or the id of a bundled plan")
    .option("--accuracy <file>", "accuracy table of the meter; a usual hand-held one without it")
    .option("--counts <n>", "counts of the meter's display", Number)
    .option("--json", "one JSON object a line")
    .action(async (idOrFile: string, options: Options) => {
      const plan = await planFor(idOrFile);
      const { accuracy, counts } = options;
      const findings = checkPlan(plan, {
        ...(accuracy === undefined ? {} : { accuracy: await readAccuracy(accuracy) }),
        ...(counts === undefined ? {} : { counts }),
      });
      for (const finding of findings)
        io.out(options.json ? JSON.stringify(finding) : text(finding));
      io.err(summary(plan.id, findings));
      done(isRefused(findings) ? EXIT.usage : EXIT.done);
    });
};

function text({ level, code, path, what, action }: Finding): string {
  return `${level}: at ${path}, ${what}. ${action} [${code}]`;
}

function summary(id: string, findings: readonly Finding[]): string {
  const errors = findings.filter(({ level }) => level === "error").length;
  const warnings = findings.length - errors;
  const verdict = errors > 0 ? "must not be run" : "may be run";
  return `The plan ${id} ${verdict}: ${counted(errors, "error")}, ${counted(warnings, "warning")}.`;
}

function counted(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
