/**
 * Notes in `dist/build.json` which commit was built. Between two releases the version alone would let
 * a job of an older build look as if it had been altered, when this one only judges otherwise.
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { root } from "./setup.mjs";

const git = spawnSync("git", ["describe", "--always", "--dirty", "--exclude", "*"], {
  cwd: root,
  encoding: "utf8",
});
const commit = git.status === 0 ? git.stdout.trim() : null;
mkdirSync(join(root, "dist"), { recursive: true });
writeFileSync(join(root, "dist", "build.json"), `${JSON.stringify({ commit })}\n`);
