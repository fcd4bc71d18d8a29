/**
 * The virtual machine of the device tests (`LEADHAND_RIG`, or `shared/rig` beside the checkout): can
 * this computer run it, and its set-up, which goes on beside other work. The tests learn what came
 * of it from a file, because whoever starts it is held up by the programs that it runs itself.
 */
import { spawn, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { root, say } from "./setup.mjs";

/** Packages, guest and a first boot, from nothing, on a slow line. */
const SETUP_S = 600;

/**
 * Starts the set-up where it can be done; says in one line what becomes of the device tests.
 * Returns the environment that they are to be run in: they end by themselves after `limit_s`.
 */
export function startRig(limit_s) {
  const folder = resolve(process.env.LEADHAND_RIG ?? join(root, "..", "shared", "rig"));
  const work = resolve(process.env.RIG_WORK ?? join(tmpdir(), "rigwork"));
  const obstacle = obstacleTo(folder) ?? lock(work);
  if (obstacle !== null) {
    say(`device tests are skipped: ${obstacle}`);
    return { LEADHAND_RIG_OBSTACLE: obstacle };
  }
  const [log, result] = [join(work, "setup.log"), join(work, "setup.result")];
  say(`device tests run in the virtual machine of ${folder}; its set-up: ${log}`);
  mkdirSync(work, { recursive: true });
  rmSync(result, { force: true });
  const env = { LEADHAND_RIG: folder, RIG_WORK: work };
  const setUp = spawn("bash", ["-c", SET_UP, "set-up", String(SETUP_S), log, result], {
    env: { ...process.env, ...env },
    detached: true,
    stdio: "ignore",
  });
  setUp.unref();
  hold(work, setUp.pid);
  process.on("exit", () => {
    // Normally the tests have stopped it; not those that were cut off.
    if (existsSync(result))
      spawnSync("python3", [join(folder, "host", "rig.py"), "down"], {
        env: { ...process.env, ...env },
      });
  });
  const until = String(Date.now() + 1000 * limit_s);
  return { ...env, LEADHAND_RIG_LOG: log, LEADHAND_RIG_RESULT: result, LEADHAND_RIG_UNTIL: until };
}

/** The first boot shows whether the emulator works here at all: what fails later is a failure. */
const SET_UP = `
  rig="python3 $LEADHAND_RIG/host/rig.py"
  timeout -k 10 "$1" bash -c "
    bash '$LEADHAND_RIG/setup.sh' && $rig up </dev/null && sleep 1 && $rig run true && $rig down
  " >"$2" 2>&1
  echo $? >"$3.part" && mv "$3.part" "$3"`;

function obstacleTo(folder) {
  if (!existsSync(join(folder, "setup.sh"))) {
    return `there is no rig at ${folder} (LEADHAND_RIG names its folder)`;
  }
  if (process.getuid?.() !== 0 || !existsSync("/etc/debian_version")) {
    return "the rig sets itself up on Debian, as root, only";
  }
  return null;
}

/** One virtual machine and its disk: one run at a time. */
function lock(work) {
  const holders = existsSync(lockOf(work)) ? readFileSync(lockOf(work), "utf8").split(" ") : [];
  return holders.some((pid) => existsSync(`/proc/${pid}`))
    ? `${work} is in use by another run`
    : null;
}

function hold(work, pid) {
  writeFileSync(lockOf(work), [process.pid, pid].join(" "));
}

const lockOf = (work) => `${work}.lock`;
