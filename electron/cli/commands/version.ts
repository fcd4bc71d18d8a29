import { readFileSync } from "node:fs";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";

const manifest = new URL("../../../../package.json", import.meta.url);

/** The program's own version, read where npm keeps it. */
export function programVersion(): string {
  const parsed = JSON.parse(readFileSync(manifest, "utf8")) as { version: string };
  return parsed.version;
}

export const registerVersion: Register = (program, { io, done }) => {
  program
    .command("version")
    .description("print the version of this program")
    .action(() => {
      io.out(programVersion());
      done(EXIT.done);
    });
};
