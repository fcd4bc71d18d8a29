import { systemClock } from "../../../drivers/clock.js";
import type { Decoder } from "../../../protocols/decoder.js";
import { LeadhandError } from "../../../protocols/error.js";
import type { Protocol, ProtocolOptions } from "../../../protocols/protocol.js";
import { findProtocol } from "../../../protocols/registry.js";
import type { Register } from "../command.js";
import { EXIT } from "../io.js";
import type { Io } from "../io.js";
import { jsonLines, textLines } from "../reading-lines.js";
import type { ReadingLines } from "../reading-lines.js";

interface Options {
  readonly protocol: string;
  readonly option: readonly string[];
  readonly json?: true;
}

/**
 * Bytes on standard input → one reading a line on standard output; the decoder's statistics as
 * one line of JSON last on standard error. `time_s` is when the bytes of the reading arrived here,
 * in seconds since the start by a monotonic clock: of a file, that is when it was read.
 */
export const registerDecode: Register = (program, { io, done }) => {
  program
    .command("decode")
    .description("bytes on standard input to readings")
    .requiredOption("--protocol <id>", "what the bytes are")
    .option("--option <name=value>", "option of the protocol; may be given again", gather, [])
    .option("--json", "one JSON object a line")
    .action(async (options: Options) => {
      const protocol = findProtocol(options.protocol);
      const decoder = protocol.createDecoder(protocolOptions(protocol, options.option));
      const lines = options.json ? jsonLines() : textLines();
      const bytes = await decodeInput(protocol, decoder, lines, io);
      const { frames, skippedBytes, rejected } = decoder.stats;
      io.err(JSON.stringify({ protocol: protocol.id, bytes, frames, skippedBytes, rejected }));
      done(EXIT.done);
    });
};

function gather(given: string, before: readonly string[]): readonly string[] {
  return [...before, given];
}

/** Of a file, the first line is whole; a live meter's may not be. */
const FROM_THE_START: ProtocolOptions = { first: "keep" };

function protocolOptions(protocol: Protocol, given: readonly string[]): ProtocolOptions {
  const known = protocol.options ?? [];
  const entries = given.map((text): [string, string] => {
    const cut = text.indexOf("=");
    const name = text.slice(0, Math.max(cut, 0));
    if (cut > 0 && known.includes(name)) return [name, text.slice(cut + 1)];
    throw new LeadhandError("usage/protocol-option", {
      what: `The protocol ${protocol.id} has no option "${text}".`,
      action:
        known.length === 0
          ? "It has none."
          : `Write name=value with one of these names: ${known.join(", ")}.`,
    });
  });
  const usual = known.includes("first") ? FROM_THE_START : {};
  return { ...usual, ...Object.fromEntries(entries) };
}

/** Writes the readings of each chunk at once; returns the number of bytes. */
async function decodeInput(
  protocol: Protocol,
  decoder: Decoder,
  linesOf: ReadingLines,
  io: Io,
): Promise<number> {
  const start_ns = systemClock.now_ns();
  let total = 0;
  const decode = (bytes: Uint8Array) => {
    const time_s = Number(systemClock.now_ns() - start_ns) / 1e9;
    const readings = decoder.push(bytes);
    if (readings.length === 0) return;
    io.out(linesOf(readings, time_s));
  };
  for await (const bytes of io.stdin) {
    total += bytes.length;
    decode(bytes);
    await io.taken?.();
  }
  // The end of the input ends the last line too.
  if (protocol.frameLength === null && !protocol.isUnframed) decode(Uint8Array.of(0x0d, 0x0a));
  return total;
}
