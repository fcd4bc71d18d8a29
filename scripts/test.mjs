/**
 * `npm test`: installs what is needed, builds, checks and runs all tests, the browser ones too.
 * Ends with the runner's own count.
 */
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { startRig } from "./rig.mjs";
import { build, ensureInstalled, findBrowser, run, say } from "./setup.mjs";

/** No device test begins later than this, so that a slow emulator cannot hold up the rest. */
const DEVICES_UNTIL_S = 15 * 60;

/** Program → the Debian package that brings it. */
const needed = [
  { name: "a Chromium-family browser", package: "chromium", here: () => findBrowser() !== null },
  { name: "socat", package: "socat", here: () => onPath("socat") },
  { name: "xvfb-run", package: "xvfb xauth", here: () => onPath("xvfb-run") },
  { name: "unzip", package: "unzip", here: () => onPath("unzip") },
  { name: "pdftotext", package: "poppler-utils", here: () => onPath("pdftotext") },
];

/** What a few tests can do without: they say so and are skipped. */
const welcome = [
  { package: "pulseaudio pulseaudio-utils", here: () => onPath("parec") && onPath("pulseaudio") },
  {
    package: "speech-dispatcher speech-dispatcher-espeak-ng",
    here: () => onPath("speech-dispatcher"),
  },
];

const chosen = process.argv.slice(2);
ensurePrograms();
// Sets itself up while the other tests run; who names tests means those and no virtual machine.
const env = { ...process.env, ...(chosen.length === 0 ? startRig(DEVICES_UNTIL_S) : {}) };
ensureInstalled();
build();
run("npm", ["run", "--silent", "check"]);
run("npx", ["--no-install", "vitest", "run", ...chosen], { env });

function ensurePrograms() {
  const missing = needed.filter((program) => !program.here());
  if (process.getuid?.() === 0 && existsSync("/etc/debian_version")) {
    installPackages([...missing, ...welcome.filter((program) => !program.here())]);
    return;
  }
  if (missing.length === 0) return;
  const packages = missing.flatMap((program) => program.package.split(" "));
  const names = missing.map((program) => program.name).join(", ");
  console.error(
    `leadhand: the tests need ${names}. On Debian: sudo apt-get install ${packages.join(" ")}. Elsewhere install them by name; LEADHAND_BROWSER=/path names a browser.`,
  );
  process.exit(1);
}

function installPackages(programs) {
  if (programs.length === 0) return;
  const packages = programs.flatMap((program) => program.package.split(" "));
  say(`installing ${packages.join(" ")} for the tests…`);
  run("apt-get", ["update", "-qq"]);
  run("apt-get", ["install", "-y", "-qq", "--no-install-recommends", ...packages], {
    env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" },
  });
}

function onPath(program) {
  return spawnSync("sh", ["-c", `command -v ${program}`]).status === 0;
}
