import { Command, CommanderError } from "commander";
import { toLeadhandError } from "../../protocols/error.js";
import { registerCheckPlan } from "./commands/check-plan.js";
import { registerCloseUp } from "./commands/close-up.js";
import { registerDecode } from "./commands/decode.js";
import { registerDiagnose } from "./commands/diagnose.js";
import { registerMeters } from "./commands/meters.js";
import { registerParts } from "./commands/parts.js";
import { registerPlan } from "./commands/plan.js";
import { registerPractice } from "./commands/practice.js";
import { registerPack } from "./commands/pack.js";
import { registerReplay } from "./commands/replay.js";
import { registerCompare } from "./commands/compare.js";
import { registerGoOn } from "./commands/go-on.js";
import { registerImport } from "./commands/import.js";
import { registerJobs } from "./commands/jobs.js";
import { registerVerify } from "./commands/verify.js";
import { registerRun } from "./commands/run.js";
import { registerReckon } from "./commands/reckon.js";
import { registerSag } from "./commands/sag.js";
import { registerSettle } from "./commands/settle.js";
import { registerVersion } from "./commands/version.js";
import type { Register } from "./command.js";
import { EXIT, exitFor } from "./io.js";
import type { ExitStatus, Io } from "./io.js";

/** One line a command; the order is the order of the help text. */
const commands: readonly Register[] = [
  // One a line, by name.
  registerCheckPlan,
  registerCloseUp,
  registerDecode,
  registerDiagnose,
  registerParts,
  registerMeters,
  registerPlan,
  registerPractice,
  registerRun,
  registerSettle,
  registerSag,
  registerReckon,
  registerGoOn,
  registerJobs,
  registerCompare,
  registerImport,
  registerReplay,
  registerPack,
  registerVerify,
  registerVersion,
];

/** Runs the command line and resolves with its exit status; never rejects. */
export async function runProgram(argv: readonly string[], io: Io): Promise<ExitStatus> {
  let status: ExitStatus = EXIT.done;
  const program = new Command("leadhand")
    .description("Reads the meter, judges the reading, reasons out the fault.")
    .exitOverride()
    .configureOutput({
      writeOut: (text) => io.out(text.trimEnd()),
      writeErr: (text) => io.err(text.trimEnd()),
    });
  const context = { io, done: (result: ExitStatus) => void (status = result) };
  for (const register of commands) register(program, context);
  try {
    await program.parseAsync([...argv], { from: "user" });
    return status;
  } catch (thrown) {
    if (thrown instanceof CommanderError) return thrown.exitCode === 0 ? EXIT.done : EXIT.usage;
    const error = toLeadhandError(thrown);
    io.err(error.message);
    return exitFor(error.area);
  }
}
