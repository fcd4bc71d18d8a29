import { expect, test } from "vitest";
import { runProgram } from "../../electron/cli/program.js";
import { scriptedIo } from "./scripted-io.js";

test("help goes to standard output and is not an error", async () => {
  const io = scriptedIo();
  expect(await runProgram(["--help"], io)).toBe(0);
  expect(io.lines.join("\n")).toContain("leadhand");
});

test("an unknown command is a usage error, told on standard error", async () => {
  const io = scriptedIo();
  expect(await runProgram(["no-such-command"], io)).toBe(2);
  expect(io.lines).toEqual([]);
  expect(io.messages.join("\n")).toContain("no-such-command");
});
