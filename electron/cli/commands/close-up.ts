import { LeadhandError } from "../../../protocols/error.js";
import { readJob } from "../../../workbench/job/read-job.js";
import type { JobContent } from "../../../workbench/job/read-job.js";
import { isApart, leftWords, takenApart } from "../../../workbench/plan/taken-apart.js";
import type { ApartEvent, ClosingEntry } from "../../../workbench/plan/taken-apart.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

interface PutBack {
  readonly step: string;
  readonly item: number;
  readonly fasteners: number;
}

interface Options {
  readonly back: readonly PutBack[];
  readonly json?: true;
}

/**
 * What came off the tool in a job, in the order in which it goes back on, with what was put down
 * in the window. `--back` counts without writing anything. Exit 1 where something that was begun
 * to be put back is left over.
 */
export const registerCloseUp: Register = (program, { io, done }) => {
  program
    .command("close-up")
    .description("what came off the tool, in the order in which it goes back on")
    .argument("<job>", "folder of the job")
    .option(
      "--back <step=count>",
      "put back, with so many screws; step.1=count for the next thing that came off in it; may be given again",
      gather,
      [],
    )
    .option("--json", "one JSON object a line")
    .action(async (folder: string, { back, json }: Options) => {
      const job = await readJob(folder);
      const list = takenApart(job.file.plan, [...apartOf(job), ...back.map(asEvent)]);
      for (const entry of list.order) io.out(json ? JSON.stringify(entry) : text(entry));
      const begun = list.order.some((entry) => entry.back !== null);
      if (begun) io.err(leftWords(list));
      const isLeft = list.partsLeft > 0 || Object.keys(list.leftOver).length > 0;
      done(begun && isLeft ? EXIT.stepFailed : EXIT.done);
    });
};

function apartOf({ lines }: JobContent): ApartEvent[] {
  return lines.map(({ event }) => event).filter((event) => isApart(event));
}

function asEvent(back: PutBack): ApartEvent {
  return { kind: "put-back", time_s: Number.POSITIVE_INFINITY, ...back };
}

function text({ back, words, photos }: ClosingEntry): string {
  const how = back === null ? "off " : "back";
  const counted = back?.counted === false ? " Not counted." : "";
  const shown = photos.length === 0 ? "" : ` [${photos.join(", ")}]`;
  return `${how}  ${words}${counted}${shown}`;
}

function gather(given: string, before: readonly PutBack[]): readonly PutBack[] {
  const found = /^([a-z][a-z0-9-]*)(?:\.(\d+))?=(\d+)$/.exec(given);
  if (!found) {
    throw new LeadhandError("usage/put-back", {
      what: `"${given}" does not say what was put back.`,
      action: "Write step=count, such as open-case=8.",
    });
  }
  const [, step = "", item = "0", fasteners] = found;
  return [...before, { step, item: Number(item), fasteners: Number(fasteners) }];
}
