import { compareRuns, type ComparedStep } from "../../../workbench/jobs/compare-runs.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

export const registerCompare: Register = (program, { io, done }) => {
  program
    .command("compare")
    .argument("<first>", "folder of a job, such as the run before the repair")
    .argument("<second>", "folder of another run of the same tool")
    .description("two runs of one tool, step by step")
    .option("--json", "one JSON object a line")
    .action(async (first: string, second: string, { json }: { json?: true }) => {
      for (const step of await compareRuns(first, second)) {
        if (json) io.out(JSON.stringify({ event: "compared", ...step }));
        else if (step.kind === "measure" || step.kind === "look") io.out(words(step));
      }
      done(EXIT.done);
    });
};

function words({ step, first, second, change }: ComparedStep): string {
  const moved = change === null ? "" : `  (${change > 0 ? "+" : ""}${round(change)})`;
  return `${step.padEnd(26)}${side(first).padEnd(28)}${side(second)}${moved}`;
}

function side(result: ComparedStep["first"]): string {
  if (result === null) return "not taken";
  const { verdict, value, unit, overload } = result;
  if (value === null) return overload === false ? verdict : `${verdict} over range`;
  return `${verdict} ${round(value)} ${unit}`;
}

function round(value: number): string {
  return String(Number(value.toPrecision(5)));
}
