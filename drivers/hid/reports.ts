import type { LineSettings } from "../../protocols/protocol.js";

/**
 * How a cable carries a serial line in HID reports. Both ways are from memory of such bridges, not
 * from a maker's document.
 */
export interface Bridge {
  /** The meter's bytes in a report that came in (as node-hid gives it: report id first, if any). */
  bytesOf(report: Uint8Array): Uint8Array;
  /** Reports that send these bytes, report id first. */
  reportsFor(bytes: Uint8Array): Uint8Array[];
  /** Feature reports that switch the line on and set it. */
  setUp(line: LineSettings): Uint8Array[];
}

export const BRIDGES = ["numbered", "counted"] as const;

/** Most bytes that one report of either kind carries. */
const MOST = 63;

/** The report's id, 1 to 63, is how many bytes it carries. */
const numbered: Bridge = {
  bytesOf: (report) => report.slice(1, 1 + Math.min(report[0] ?? 0, MOST)),
  reportsFor: (bytes) => pieces(bytes, MOST).map((piece) => Uint8Array.of(piece.length, ...piece)),
  setUp({ baud, frame }) {
    const rate = [baud >>> 24, baud >>> 16, baud >>> 8, baud].map((byte) => byte & 0xff);
    const parity = { n: 0, e: 1, o: 2 }[frame.charAt(1) as "n" | "e" | "o"];
    const dataBits = frame.startsWith("7") ? 2 : 3;
    const stopBits = frame.endsWith("2") ? 1 : 0;
    return [Uint8Array.of(0x41, 1), Uint8Array.of(0x50, ...rate, parity, 0, dataBits, stopBits)];
  },
};

/**
 * Reports without an id whose first byte is the count: plain, or in the low half of 0xF0…0xFF as
 * the eight-byte reports of isolated cables have it.
 */
const counted: Bridge = {
  bytesOf(report) {
    const first = report[0] ?? 0;
    const count = first >= 0xf0 ? first & 0x0f : first;
    return report.slice(1, 1 + Math.min(count, report.length - 1));
  },
  reportsFor: (bytes) =>
    pieces(bytes, MOST).map((piece) => Uint8Array.of(0, piece.length, ...piece)),
  setUp: ({ baud }) => [Uint8Array.of(0, baud & 0xff, (baud >>> 8) & 0xff, 0, 0, 3)],
};

export const bridges: Readonly<Record<(typeof BRIDGES)[number], Bridge>> = { numbered, counted };

function pieces(bytes: Uint8Array, most: number): Uint8Array[] {
  const all: Uint8Array[] = [];
  for (let at = 0; at < bytes.length; at += most) all.push(bytes.slice(at, at + most));
  return all;
}
