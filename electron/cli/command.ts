import type { Command } from "commander";
import type { ExitStatus, Io } from "./io.js";

/**
 * A command adds itself to the program. Its action returns through `done` the exit status; errors
 * are thrown as `LeadhandError` and told to the person by `main`.
 */
export type Register = (program: Command, context: CommandContext) => void;

export interface CommandContext {
  readonly io: Io;
  readonly done: (status: ExitStatus) => void;
}
