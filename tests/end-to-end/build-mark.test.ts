import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { z } from "zod";

const json = (path: string): unknown => JSON.parse(readFileSync(path, "utf8"));

/*
 * A job says which program judged it. Between two releases only the commit tells two builds apart;
 * without it a job of an older build would look altered to this one.
 */
test("a build names itself by its version and the commit it was made from", () => {
  const { version } = z.object({ version: z.string() }).parse(json("package.json"));
  const { commit } = z.object({ commit: z.string().nullable() }).parse(json("dist/build.json"));
  const said = execFileSync(process.execPath, ["dist/electron/cli/main.js", "version"]);
  expect(said.toString().trim()).toBe(commit === null ? version : `${version}+${commit}`);
  if (commit !== null) expect(commit).toMatch(/^[0-9a-f]{7,40}(-dirty)?$/);
});
