import { spawnSync } from "node:child_process";
import { test } from "vitest";

/** A test that needs a program of the system; without it, it is skipped and says why. */
export function testWith(program: string, name: string, run: () => Promise<void>): void {
  if (isHere(program)) {
    test(name, run, 60_000);
    return;
  }
  test(name, ({ skip }) => skip(`"${name}" needs ${program}, which is not on this machine`));
}

function isHere(program: string): boolean {
  return spawnSync("sh", ["-c", `command -v ${program}`]).status === 0;
}

/** Standard output of a program that must succeed. */
export function output(program: string, args: readonly string[], cwd: string): string {
  const { status, stdout, stderr } = spawnSync(program, args, { cwd, encoding: "utf8" });
  if (status !== 0) throw new Error(`${program} ended with ${status}: ${stdout}${stderr}`);
  return stdout;
}
