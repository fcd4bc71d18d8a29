import { readFileSync } from "node:fs";
import { z } from "zod";

const manifestSchema = z.object({ name: z.literal("leadhand"), version: z.string() });
let known: string | null = null;

/** The program's version as npm knows it: from the nearest package.json above this file. */
export function programVersion(): string {
  return (known ??= readVersion());
}

function readVersion(): string {
  for (const above of ["..", "../.."]) {
    try {
      const text = readFileSync(new URL(`${above}/package.json`, import.meta.url), "utf8");
      return manifestSchema.parse(JSON.parse(text)).version;
    } catch {
      // Not here: the sources lie one folder less deep than the built files.
    }
  }
  return "unknown";
}
