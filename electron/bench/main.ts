import { fileURLToPath } from "node:url";
import { toLeadhandError } from "../../protocols/error.js";
import { watchSleep } from "../run/sleep-watch.js";
import { Bench } from "./bench.js";
import { benchOptions } from "./options.js";
import { serveBench } from "./server.js";

/**
 * The bench process outside Electron: prints the address of the window as its first line and serves
 * until it is told to end.
 */
try {
  const bench = new Bench(benchOptions(process.argv.slice(2), process.env));
  const page = fileURLToPath(new URL("../../renderer", import.meta.url));
  const server = await serveBench(bench, page);
  process.stdout.write(`${server.address}\n`);
  // No desktop shell tells this process of sleep.
  const endWatch = watchSleep(bench, bench.clock);
  const end = () => {
    endWatch();
    void bench.close().then(() => server.close());
    // A second request to end does not wait.
    process.once("SIGINT", () => process.exit(1));
  };
  process.once("SIGTERM", end);
  process.once("SIGINT", end);
  await bench.begin();
} catch (thrown) {
  process.stderr.write(`leadhand: ${toLeadhandError(thrown).message}\n`);
  process.exitCode = 2;
}
