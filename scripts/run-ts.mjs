// Runs one TypeScript file of the tests with vite's own loader: studies are no product code and
// need no build of their own.
import { runnerImport } from "vite";

const [file] = process.argv.slice(2);
await runnerImport(new URL(`../${file}`, import.meta.url).pathname);
