/**
 * `npm run test:devices`: the built program against real kernel devices, in the virtual machine
 * that `shared/rig` sets up (LEADHAND_RIG names another place for it). Where there is none, it
 * says so and passes.
 */
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("..", import.meta.url));
const rig = resolve(process.env.LEADHAND_RIG ?? join(root, "..", "shared", "rig"));
const work = resolve(process.env.RIG_WORK ?? join(tmpdir(), "rigwork"));
const env = { ...process.env, LEADHAND_RIG: rig, RIG_WORK: work };

if (!existsSync(join(rig, "setup.sh"))) {
  console.log(`device tests skipped: there is no rig at ${rig} (LEADHAND_RIG names its folder)`);
} else if (process.getuid?.() !== 0 || !existsSync("/etc/debian_version")) {
  console.log("device tests skipped: the rig sets itself up on Debian, as root, only");
} else {
  run("bash", join(rig, "setup.sh"));
  run("npx", "--no-install", "tsc", "-b");
  const config = join(root, "vitest.devices.config.ts");
  run("npx", "--no-install", "vitest", "run", "--config", config, ...process.argv.slice(2));
}

function run(command, ...args) {
  const { status } = spawnSync(command, args, { cwd: root, env, stdio: "inherit" });
  if (status !== 0) process.exit(status ?? 1);
}
