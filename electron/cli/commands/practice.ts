import type { Command } from "commander";
import { systemClock } from "../../../drivers/clock.js";
import { createPracticeBench } from "../../../drivers/practice/bench.js";
import { PRACTICE_KINDS, practiceKind } from "../../../drivers/practice/kinds.js";
import { LeadhandError } from "../../../protocols/error.js";
import type { Order } from "../../../workbench/contract/orders.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { ExitStatus, Io } from "../io.js";
import { practiceAddress } from "../../bench/options.js";
import { orderOption, runPlan } from "./run.js";
import { jsonReporter, wordReporter } from "./run-report.js";

interface Options {
  readonly list?: true;
  readonly frames?: true;
  readonly json?: true;
  readonly kind: string;
  readonly seed: string;
  readonly fault: readonly string[];
  readonly protocol: string;
  readonly job?: string;
  readonly order: Order;
  readonly realTime?: true;
}

/** How long the simulated meter may be missing, seconds; it never is. */
const PATIENCE_s = 30;

/** Simulated seconds that `--frames` shows of each point. */
const PER_POINT_s = 8;

export const registerPractice: Register = (program, context) => {
  addOptions(
    program
      .command("practice")
      .description("run a plan on a simulated tool with hidden faults, or list them"),
  ).action(async (options: Options) => {
    if (options.list) list(options, context.io);
    else if (options.frames) await frames(options, context.io);
    else {
      context.done(await practise(options, context.io));
      return;
    }
    context.done(EXIT.done);
  });
};

function addOptions(command: Command): Command {
  return command
    .option("--list", "print the tools and the faults that can be hidden in them")
    .option("--frames", "print the bytes of the meter while the hand goes through the tool")
    .option("--json", "one JSON object a line")
    .option("--kind <id>", "kind of tool, and the bundled plan for it", "cordless-brushed")
    .option("--seed <number>", "same seed, same bench", "1")
    .option("--fault <id>", "fault to hide; may be given again", gather, [])
    .option("--protocol <id>", "what the meter speaks", "segment-14")
    .option("--job <folder>", "new folder for the job")
    .addOption(orderOption())
    .option("--real-time", "at the pace of a person instead of at once");
}

/** The whole plan with the simulated hand; the job folder is the evidence, as of a real tool. */
function practise(options: Options, io: Io): Promise<ExitStatus> {
  seedOf(options.seed);
  const address = practiceAddress(options.kind, options.fault, options.seed, {
    protocol: options.protocol,
    pace: options.realTime ? "real-time" : "at-once",
  });
  const { kind: plan, job: folder, order } = options;
  const request = { plan, meters: [address], folder, order };
  const reporter = options.json ? jsonReporter(io) : wordReporter(io);
  return runPlan(request, PATIENCE_s, reporter, io.env);
}

function gather(id: string, before: readonly string[]): readonly string[] {
  return [...before, id];
}

function list({ json }: Options, { out }: Io): void {
  for (const { kind, title, faults } of PRACTICE_KINDS) {
    if (json) out(JSON.stringify({ kind, title, faults }));
    else {
      out(`${kind}: ${title}`);
      for (const fault of faults) out(`  ${fault.id.padEnd(20)} ${fault.label}. ${fault.does}`);
    }
  }
}

/** The hand goes through the tool as the kind's tour says; each chunk of bytes is one line. */
async function frames(options: Options, { out }: Io): Promise<void> {
  const tour = practiceKind(options.kind).tour;
  const { kind, fault: faults, protocol } = options;
  const seed = seedOf(options.seed);
  const clock = systemClock;
  const bench = createPracticeBench({ kind, faults, protocol, seed, clock, pace: "at-once" });
  const link = bench.link();
  await new Promise<void>((resolve, reject) => {
    link.onClosed = () => resolve();
    link.onChunk = ({ bytes, arrival_ns }) => {
      const time_s = Number(arrival_ns) / 1e9;
      const hex = Buffer.from(bytes).toString("hex");
      out(options.json ? JSON.stringify({ time_s, hex }) : `${time_s.toFixed(4)} ${hex}`);
      const request = tour[Math.floor(time_s / PER_POINT_s)];
      if (request === undefined) void link.close();
      else bench.follow(request);
    };
    link.open().catch(reject);
  });
}

function seedOf(text: string): number {
  const seed = Number(text);
  if (Number.isInteger(seed) && seed >= 0) return seed;
  throw new LeadhandError("usage/practice-seed", {
    what: `The seed "${text}" is not a whole number.`,
    action: "Give a whole number, such as --seed 7.",
  });
}
