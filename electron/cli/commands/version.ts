import { programVersion } from "../../version.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

export const registerVersion: Register = (program, { io, done }) => {
  program
    .command("version")
    .description("print the version of this program")
    .action(() => {
      io.out(programVersion());
      done(EXIT.done);
    });
};
