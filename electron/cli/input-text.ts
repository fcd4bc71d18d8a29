import { readFile } from "node:fs/promises";
import { LeadhandError } from "../../protocols/error.js";
import type { Io } from "./io.js";

/** A file's text; "-" reads standard input. */
export async function text(io: Io, file: string): Promise<string> {
  if (file === "-") {
    const chunks: Uint8Array[] = [];
    for await (const chunk of io.stdin) chunks.push(chunk);
    return Buffer.concat(chunks).toString("utf8");
  }
  try {
    return await readFile(file, "utf8");
  } catch (cause) {
    throw new LeadhandError("input/unreadable-file", {
      what: `The file ${file} cannot be read: ${cause instanceof Error ? cause.message : String(cause)}.`,
      action: "Check its name and that you may read it.",
      cause,
    });
  }
}
