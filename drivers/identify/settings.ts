import type { LineSettings, Protocol } from "../../protocols/protocol.js";

/** Speeds that meters with a text protocol use (common practice, no source), commonest first. */
const TEXT_BAUDS = [9600, 2400, 19_200, 115_200, 4800, 38_400, 57_600, 1200];

/** One way to set the line, and the protocols that make sense on it. */
export interface Setting {
  readonly line: LineSettings;
  readonly protocols: readonly Protocol[];
}

/**
 * What to try on a line of unknown settings. A frame of fixed length belongs to a chip that sends
 * at one speed; text comes at any.
 */
export function settingsToTry(protocols: Iterable<Protocol>): Setting[] {
  const all = [...protocols].filter(({ isUnframed }) => !isUnframed);
  const text = all.filter((protocol) => protocol.frameLength === null);
  const lines = new Map<string, LineSettings>();
  const add = (line: LineSettings): void => void lines.set(keyOf(line), line);
  for (const { line } of all.filter((protocol) => protocol.frameLength !== null)) add(line);
  for (const { line } of text) for (const baud of TEXT_BAUDS) add({ ...line, baud });
  return [...lines.values()].map((line) => ({
    line,
    protocols: all.filter(
      (protocol) => protocol.frameLength === null || keyOf(protocol.line) === keyOf(line),
    ),
  }));
}

function keyOf({ baud, frame, dtr, rts }: LineSettings): string {
  return `${baud} ${frame} ${dtr} ${rts}`;
}
