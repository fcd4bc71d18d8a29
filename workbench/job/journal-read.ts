import { formatLine, hashOf, NO_LINE_BEFORE, parseLine, type JournalLine } from "./journal-line.js";

/** Something in a job that is not as it was written. `at` and `to` are byte offsets in the file. */
export interface Damage {
  readonly file: string;
  readonly at: number;
  readonly to: number;
  readonly what: string;
}

export interface JournalContent {
  readonly lines: readonly JournalLine[];
  readonly damage: readonly Damage[];
  /** Length of the file up to the last newline: what follows is a line that did not get whole. */
  readonly wholeLength: number;
  /** Bytes after `wholeLength`. */
  readonly tornLength: number;
  readonly lastHash: string;
  readonly lastNumber: number;
}

export const JOURNAL_FILE = "journal.ndjson";

/**
 * Reads a journal and follows its chain. Never throws on content: damaged lines and breaks of the
 * chain are listed with their place, the other lines are returned.
 */
export function readJournal(bytes: Uint8Array): JournalContent {
  const wholeLength = bytes.lastIndexOf(0x0a) + 1;
  const lines: JournalLine[] = [];
  const damage: Damage[] = [];
  let before = NO_LINE_BEFORE;
  let number = 0;
  for (let at = 0; at < wholeLength;) {
    const end = bytes.indexOf(0x0a, at);
    const raw = bytes.subarray(at, end);
    const read = readLine(raw, number, before);
    number = read.line?.n ?? number + 1;
    if (read.line !== null) lines.push(read.line);
    for (const what of read.faults) damage.push({ file: JOURNAL_FILE, at, to: end + 1, what });
    before = hashOf(raw);
    at = end + 1;
  }
  const tornLength = bytes.length - wholeLength;
  return { lines, damage, wholeLength, tornLength, lastHash: before, lastNumber: number };
}

function readLine(
  raw: Uint8Array,
  numberBefore: number,
  before: string,
): { line: JournalLine | null; faults: string[] } {
  const name = `line ${numberBefore + 1}`;
  let line: JournalLine;
  try {
    line = parseLine(new TextDecoder("utf-8", { fatal: true }).decode(raw));
  } catch (thrown) {
    return { line: null, faults: [`${name} is damaged: ${messageOf(thrown)}`] };
  }
  const faults: string[] = [];
  if (line.n !== numberBefore + 1) faults.push(`${name} is numbered ${line.n}: lines are missing`);
  if (line.before !== before) faults.push(`${name} does not follow from the line before it`);
  return { line, faults };
}

function messageOf(thrown: unknown): string {
  return thrown instanceof Error ? thrown.message : String(thrown);
}

/** The bytes of a line as they stand in the file, and its hash for the next. */
export function encodeLine(line: JournalLine): { bytes: Uint8Array; hash: string } {
  const text = formatLine(line);
  return { bytes: new TextEncoder().encode(`${text}\n`), hash: hashOf(text) };
}
