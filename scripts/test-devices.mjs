/**
 * `npm run test:devices`: the built program against real kernel devices, in a virtual machine. Where
 * there is none, it says so and passes.
 */
import { run } from "./setup.mjs";
import { startRig } from "./rig.mjs";

const LIMIT_S = 3600;

const env = { ...process.env, ...startRig(LIMIT_S) };
run("npm", ["run", "--silent", "build:node"]);
run("npx", ["--no-install", "vitest", "run", "--project", "devices", ...process.argv.slice(2)], {
  env,
});
