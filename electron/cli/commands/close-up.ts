import { LeadhandError } from "../../../protocols/error.js";
import { readJob } from "../../../workbench/job/read-job.js";
import type { JobContent } from "../../../workbench/job/read-job.js";
import { closingList, takenApart } from "../../../workbench/plan/taken-apart.js";
import type { ClosingList, PutBack } from "../../../workbench/plan/taken-apart.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

interface Options {
  readonly back: readonly PutBack[];
  readonly json?: true;
}

/**
 * What came off the tool in a job, in the order in which it goes back on. With `--back` it counts
 * what is left over; exit 1 where something is.
 */
export const registerCloseUp: Register = (program, { io, done }) => {
  program
    .command("close-up")
    .description("what came off the tool, in the order in which it goes back on")
    .argument("<job>", "folder of the job")
    .option("--back <step=count>", "put back, with so many screws; may be given again", gather, [])
    .option("--json", "one JSON object a line")
    .action(async (folder: string, { back, json }: Options) => {
      const list = closingList(removalsOf(await readJob(folder)), back);
      for (const entry of list.order)
        io.out(json ? JSON.stringify(entry) : `${entry.done ? "back" : "off "}  ${entry.words}`);
      if (back.length > 0) io.err(leftWords(list));
      const isLeft = list.partsLeft > 0 || Object.keys(list.leftOver).length > 0;
      done(back.length > 0 && isLeft ? EXIT.stepFailed : EXIT.done);
    });
};

function removalsOf({ file, lines }: JobContent) {
  const results = lines.flatMap(({ event }) => (event.kind === "step" ? [event.result] : []));
  return takenApart(file.plan, results);
}

function leftWords({ partsLeft, leftOver }: ClosingList): string {
  const fasteners = Object.entries(leftOver).map(([kind, count]) => `${count} × ${kind}`);
  if (partsLeft === 0 && fasteners.length === 0) return "Nothing is left over.";
  return `Left over: ${[`${partsLeft} parts`, ...fasteners].join(", ")}.`;
}

function gather(given: string, before: readonly PutBack[]): readonly PutBack[] {
  const found = /^([a-z][a-z0-9-]*)=(\d+)$/.exec(given);
  if (!found) {
    throw new LeadhandError("usage/put-back", {
      what: `"${given}" does not say what was put back.`,
      action: "Write step=count, such as open-case=8.",
    });
  }
  return [...before, { step: found[1] ?? "", fasteners: Number(found[2]) }];
}
