import { Option } from "commander";
import { rm } from "node:fs/promises";
import { systemClock } from "../../../drivers/clock.js";
import { LeadhandError } from "../../../protocols/error.js";
import { ORDERS } from "../../../workbench/contract/orders.js";
import type { Order } from "../../../workbench/contract/orders.js";
import { benchOptions } from "../../bench/options.js";
import { runEventsIn } from "../../run/engine-event.js";
import type { Ending, EngineEvent } from "../../run/engine-event.js";
import { startEngine } from "../../run/engine.js";
import type { Engine } from "../../run/engine-types.js";
import { DirectReasoning } from "../../run/reasoning.js";
import { prepareRun, readAccuracy } from "../../run/prepare.js";
import type { PreparedRun, RunRequest } from "../../run/prepare.js";
import { watchSleep } from "../../run/sleep-watch.js";
import { readToolFile } from "../../run/tool-file.js";
import type { CommandContext, Register } from "../command.js";
import { EXIT } from "../io.js";
import type { ExitStatus } from "../io.js";
import { jsonReporter, wordReporter } from "./run-report.js";
import type { Reporter } from "./run-report.js";

interface RunFlags {
  readonly plan: string;
  readonly meter: readonly string[];
  readonly job?: string;
  readonly tool?: string;
  readonly accuracy?: readonly string[];
  readonly json?: boolean;
  readonly order: Order;
  readonly patience: string;
}

export const registerRun: Register = (program, context) => {
  program
    .command("run")
    .description("run a plan hands-free on live meters")
    .requiredOption("--plan <id-or-file>", "bundled plan or plan file")
    .requiredOption("--meter <address...>", "meter address; the first is channel a")
    .option("--job <folder>", "new folder for the job")
    .option("--tool <file>", "JSON: make, model, serial, complaint, data")
    .option("--accuracy <file...>", "JSON: accuracy table of each meter, in the order of --meter")
    .addOption(orderOption())
    .option("--patience <seconds>", "how long a meter may be missing", "30")
    .option("--json", "one event a line on standard output")
    .action((flags: RunFlags) => runCommand(flags, context));
};

/** In which order the steps are taken; `practice` has it too. */
export function orderOption(): Option {
  return new Option("--order <which>", "fixed: the plan's; proposed: what tells most next; free")
    .choices(ORDERS)
    .default("fixed" satisfies Order);
}

async function runCommand(flags: RunFlags, context: CommandContext): Promise<void> {
  const request: RunRequest = {
    plan: flags.plan,
    meters: flags.meter,
    folder: flags.job,
    tool: flags.tool === undefined ? undefined : await readToolFile(flags.tool),
    accuracies: flags.accuracy && (await Promise.all(flags.accuracy.map(readAccuracy))),
    order: flags.order,
  };
  const reporter = flags.json === true ? jsonReporter(context.io) : wordReporter(context.io);
  context.done(await runPlan(request, patienceOf(flags.patience), reporter, context.io.env));
}

/** Runs a plan to its end and resolves with the exit status; `run` and `practice` share it. */
export async function runPlan(
  request: RunRequest,
  patience_s: number,
  reporter: Reporter,
  env: Readonly<Record<string, string | undefined>>,
): Promise<ExitStatus> {
  return runPrepared(
    await prepareRun(request, benchOptions([], env).jobs, systemClock),
    patience_s,
    reporter,
  );
}

/** Runs what is prepared to its end; a job that goes on is kept whatever comes of it. */
export async function runPrepared(
  prepared: PreparedRun,
  patience_s: number,
  reporter: Reporter,
): Promise<ExitStatus> {
  const outcome = { failed: 0 };
  // A recording ends by itself, and what it is silent for is no reason to end sooner.
  const watch = new MeterPatience(prepared.recorded ? null : patience_s);
  const engine = await startEngine({
    ...prepared,
    reasoning: new DirectReasoning(prepared.plan, prepared.tool.data ?? {}, prepared.experience),
    emit: (event) => {
      count(event, outcome);
      watch.hear(event);
      reporter(event);
    },
  });
  watch.follow(engine);
  const endSleepWatch = watchSleep(engine, systemClock);
  const stop = () => void engine.stop();
  process.once("SIGINT", stop);
  process.once("SIGTERM", stop);
  const ending = await engine.ended;
  watch.end();
  endSleepWatch();
  process.off("SIGINT", stop);
  process.off("SIGTERM", stop);
  // Nothing came and nothing was judged: the same command must work once the meter is there.
  if (!watch.wasLive && !prepared.goOn) await rm(prepared.folder, { recursive: true, force: true });
  return statusOf(ending, watch.lost, outcome.failed);
}

function count(event: EngineEvent, outcome: { failed: number }): void {
  for (const each of runEventsIn(event)) if (each.kind === "finished") outcome.failed = each.failed;
}

function statusOf(ending: Ending, meterLost: boolean, failed: number): ExitStatus {
  if (meterLost || ending === "meter-ended") return EXIT.meterLost;
  if (ending === "trouble" || ending === "stopped") return EXIT.usage;
  return failed > 0 ? EXIT.stepFailed : EXIT.done;
}

/** A script that names a wrong port wants to know it now, not after a wait. */
const HOPELESS: ReadonlySet<string> = new Set(["absent", "denied", "busy"]);

/** Ends a run whose meter stays away: there is nobody at a command line to plug it in again. */
class MeterPatience {
  lost = false;
  wasLive = false;
  #engine: Engine | null = null;
  #timer: NodeJS.Timeout | null = null;

  /** null: without end. */
  constructor(private readonly patience_s: number | null) {}

  follow(engine: Engine): void {
    this.#engine = engine;
    if (this.lost) void engine.stop();
  }

  hear(event: EngineEvent): void {
    if (event.kind !== "state") return;
    if (event.state === "live") {
      this.wasLive = true;
      this.end();
    } else if (!this.wasLive && HOPELESS.has(event.state)) {
      this.#giveUp();
    } else if (this.patience_s !== null) {
      this.#timer ??= setTimeout(() => {
        this.#giveUp();
      }, this.patience_s * 1000);
    }
  }

  #giveUp(): void {
    this.lost = true;
    void this.#engine?.stop();
  }

  end(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
  }
}

export function patienceOf(text: string): number {
  const seconds = Number(text);
  if (Number.isFinite(seconds) && seconds > 0) return seconds;
  throw new LeadhandError("usage/patience", {
    what: `--patience "${text}" is not a number of seconds.`,
    action: "Give seconds, such as --patience 30.",
  });
}
