import { createHash } from "node:crypto";
import { z } from "zod";
import { crc32c } from "../../protocols/crc32c.js";
import { journalEventSchema, type JournalEvent } from "./journal-event.js";

/**
 * One line of `journal.ndjson`:
 *
 *     {"n":7,"before":"<sha-256>","at":{"a":4312},"event":{…},"crc32c":"e3069283"}
 *
 * `n` counts from 1; `before` is the SHA-256 of the line before without its newline (64 zeros on
 * the first); `at` is how many raw bytes of each channel the event follows from: up to the last
 * byte of the newest reading that was given to the plan before it, which places the event in the
 * traces however the bytes were cut into chunks; `crc32c` covers the line up to the comma before
 * it, and tells a damaged line from a missing one.
 *
 * In jobs of version 1, `at` is how many bytes had arrived, to the end of the newest chunk.
 */
export interface JournalLine {
  readonly n: number;
  readonly before: string;
  readonly at: Readonly<Record<string, number>>;
  readonly event: JournalEvent;
}

export const NO_LINE_BEFORE = "0".repeat(64);

const lineSchema = z.strictObject({
  n: z.int().positive(),
  before: z.string().regex(/^[0-9a-f]{64}$/),
  at: z.record(z.string(), z.int().nonnegative()),
  event: journalEventSchema,
  crc32c: z.string(),
});

/** The line without its newline. */
export function formatLine(line: JournalLine): string {
  const { n, before, at, event } = line;
  const body = JSON.stringify({ n, before, at, event }).slice(0, -1);
  return `${body},"crc32c":"${checksum(body)}"}`;
}

/** Throws a plain Error that says in words what is wrong with the line. */
export function parseLine(text: string): JournalLine {
  const end = text.lastIndexOf(',"crc32c":"');
  if (end < 0) throw new Error("it carries no checksum");
  const parsed = lineSchema.safeParse(parseJson(text));
  if (!parsed.success) throw new Error(z.prettifyError(parsed.error).replaceAll("\n", "; "));
  if (parsed.data.crc32c !== checksum(text.slice(0, end))) throw new Error("its checksum differs");
  return parsed.data;
}

export function hashOf(line: string | Uint8Array): string {
  return createHash("sha256").update(line).digest("hex");
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new Error("it is not JSON");
  }
}

function checksum(text: string): string {
  return crc32c(new TextEncoder().encode(text)).toString(16).padStart(8, "0");
}
