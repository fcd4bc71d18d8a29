import { fileURLToPath } from "node:url";
import * as electron from "electron";
import { startShell } from "./shell.js";

const built = (path: string) => fileURLToPath(new URL(`../../${path}`, import.meta.url));

await startShell(
  electron,
  {
    page: built("renderer"),
    preload: built("electron/preload/preload.cjs"),
    bench: built("electron/bench/utility.js"),
  },
  process.argv.slice(2),
);
