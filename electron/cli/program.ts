import { Command, CommanderError } from "commander";
import { toLeadhandError } from "../../protocols/error.js";
import type { Register } from "./command.js";
import { EXIT, exitFor } from "./io.js";
import type { ExitStatus, Io } from "./io.js";

/**
 * One line a command; the order is the order of the help text. Loaded only when asked for: most of
 * the time of a short command is the loading of modules.
 */
const commands: Readonly<Record<string, () => Promise<Register>>> = {
  "check-plan": async () => (await import("./commands/check-plan.js")).registerCheckPlan,
  "close-up": async () => (await import("./commands/close-up.js")).registerCloseUp,
  decode: async () => (await import("./commands/decode.js")).registerDecode,
  diagnose: async () => (await import("./commands/diagnose.js")).registerDiagnose,
  parts: async () => (await import("./commands/parts.js")).registerParts,
  meters: async () => (await import("./commands/meters.js")).registerMeters,
  plan: async () => (await import("./commands/plan.js")).registerPlan,
  practice: async () => (await import("./commands/practice.js")).registerPractice,
  run: async () => (await import("./commands/run.js")).registerRun,
  settle: async () => (await import("./commands/settle.js")).registerSettle,
  sag: async () => (await import("./commands/sag.js")).registerSag,
  reckon: async () => (await import("./commands/reckon.js")).registerReckon,
  "go-on": async () => (await import("./commands/go-on.js")).registerGoOn,
  jobs: async () => (await import("./commands/jobs.js")).registerJobs,
  compare: async () => (await import("./commands/compare.js")).registerCompare,
  import: async () => (await import("./commands/import.js")).registerImport,
  replay: async () => (await import("./commands/replay.js")).registerReplay,
  pack: async () => (await import("./commands/pack.js")).registerPack,
  verify: async () => (await import("./commands/verify.js")).registerVerify,
  version: async () => (await import("./commands/version.js")).registerVersion,
};

/** The command that is named; all of them where none is, so that help and hints know each. */
function asked([name = ""]: readonly string[]): Promise<Register[]> {
  const one = Object.hasOwn(commands, name) ? commands[name] : undefined;
  const wanted = one === undefined ? Object.values(commands) : [one];
  return Promise.all(wanted.map((load) => load()));
}

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
  try {
    for (const register of await asked(argv)) register(program, context);
    await program.parseAsync([...argv], { from: "user" });
    return status;
  } catch (thrown) {
    if (thrown instanceof CommanderError) return thrown.exitCode === 0 ? EXIT.done : EXIT.usage;
    const error = toLeadhandError(thrown);
    io.err(error.message);
    return exitFor(error.area);
  }
}
