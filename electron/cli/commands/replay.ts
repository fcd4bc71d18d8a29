import { replayJob } from "../../../workbench/job/compare-replay.js";
import type { Difference, ReplayReport } from "../../../workbench/job/compare-replay.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";
import { programVersion } from "../../version.js";

export const registerReplay: Register = (program, { io, done }) => {
  program
    .command("replay")
    .argument("<job>", "folder of the job")
    .description("derive readings and verdicts again from the raw bytes and compare")
    .option("--json", "one JSON object a line")
    .action(async (folder: string, { json }: { json?: true }) => {
      const report = await replayJob(folder, programVersion());
      if (json) tellJson(report, io);
      else tell(report, io);
      done(report.agrees ? EXIT.done : EXIT.stepFailed);
    });
};

function tellJson(report: ReplayReport, { out }: Io): void {
  const { differences, ...summary } = report;
  for (const difference of differences) {
    out(JSON.stringify({ event: "difference", ...difference }));
  }
  out(JSON.stringify({ event: "replay", ...summary }));
}

function tell(report: ReplayReport, io: Io): void {
  const { out, err } = io;
  for (const { file, at, what } of report.damage) err(`Damage in ${file} at byte ${at}: ${what}.`);
  for (const difference of report.differences) out(differenceWords(difference));
  if (report.unrecorded.length > 0) {
    err(`Interrupted: from the last bytes also follow ${report.unrecorded.join(", ")}.`);
  }
  tellConclusion(report, io);
  const { agrees, steps, readings, recordedBy, replayedBy } = report;
  const versions =
    recordedBy === replayedBy ? "" : ` Recorded by ${recordedBy}, replayed by ${replayedBy}.`;
  const result = agrees ? "agree with" : "differ from";
  out(
    `${readings} readings decoded, ${steps} recorded results; they ${result} the journal.${versions}`,
  );
}

function tellConclusion({ conclusion }: ReplayReport, { out }: Io): void {
  if (conclusion?.agrees !== false) return;
  out(`Conclusion: recorded "${conclusion.recorded}", now "${conclusion.now}".`);
  for (const words of conclusion.differences) out(`  ${words}`);
}

function differenceWords({ step, attempt, recorded, now, why }: Difference): string {
  const name = attempt === 1 ? step : `${step} (attempt ${attempt})`;
  return `${name}: recorded ${valueWords(recorded)}, now ${valueWords(now)}. ${why}`;
}

function valueWords(result: Difference["recorded"]): string {
  if (result === null) return "nothing";
  if (result.value === null) return result.verdict;
  return `${result.verdict} at ${result.value} ${result.unit}`.trim();
}
