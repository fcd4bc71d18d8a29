import { readFileSync } from "node:fs";
import { z } from "zod";

const manifestSchema = z.object({ name: z.literal("leadhand"), version: z.string() });
const markSchema = z.object({ commit: z.string().nullable() });
let known: string | null = null;

/**
 * The program's version as npm knows it, from the nearest package.json above this file, and in a
 * build the commit after it, as build metadata (Semantic Versioning 2.0.0, item 10).
 */
export function programVersion(): string {
  return (known ??= withCommit(readVersion()));
}

function readVersion(): string {
  for (const above of ["..", "../.."]) {
    try {
      return manifestSchema.parse(readJson(`${above}/package.json`)).version;
    } catch {
      // Not here: the sources lie one folder less deep than the built files.
    }
  }
  return "unknown";
}

function withCommit(version: string): string {
  try {
    const { commit } = markSchema.parse(readJson("../build.json"));
    return commit === null ? version : `${version}+${commit}`;
  } catch {
    // Not built: the sources as they are.
    return version;
  }
}

function readJson(path: string): unknown {
  return JSON.parse(readFileSync(new URL(path, import.meta.url), "utf8"));
}
