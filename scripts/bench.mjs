#!/usr/bin/env node
/**
 * npm run bench [-- NAME…]: builds, then runs tests/bench/NAME.bench.mjs (all without a name), each
 * in a process of its own. Ends with status 1 where a bar was missed.
 */
import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const folder = join(root, "tests", "bench");
const wanted = process.argv.slice(2);

const built = spawnSync("npx", ["tsc", "-b"], { cwd: root, stdio: "inherit" });
if (built.status !== 0) process.exit(built.status ?? 1);

const files = readdirSync(folder).filter((name) => name.endsWith(".bench.mjs"));
const chosen = files.filter(
  (name) => wanted.length === 0 || wanted.some((part) => name.includes(part)),
);
if (chosen.length === 0) {
  console.error(
    `There is no benchmark named ${wanted.join(", ")}. There are: ${files.join(", ")}.`,
  );
  process.exit(2);
}
let missed = 0;
for (const name of chosen) {
  console.log(`\n${name}`);
  const run = spawnSync(process.execPath, ["--expose-gc", join(folder, name)], {
    cwd: root,
    stdio: "inherit",
  });
  if (run.status !== 0) missed++;
}
process.exit(missed === 0 ? 0 : 1);
