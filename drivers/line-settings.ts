import type { Framing, LineSettings } from "../protocols/protocol.js";
import { badOption, choiceOf } from "./address.js";
import type { MeterAddress } from "./address.js";

export const LINE_OPTIONS = ["baud", "frame", "dtr", "rts"] as const;

const FRAMINGS: readonly Framing[] = ["8n1", "7o1", "7e1", "8n2", "8e1", "8o1", "7n1"];

/** What the address says about the line over what the protocol wants. Baud rate in bits/s. */
export function lineSettings(address: MeterAddress, usual: LineSettings): LineSettings {
  const dtr = choiceOf(address, "dtr", ["on", "off"]);
  const rts = choiceOf(address, "rts", ["on", "off"]);
  return {
    baud: baudRate(address.options.get("baud")) ?? usual.baud,
    frame: choiceOf(address, "frame", FRAMINGS) ?? usual.frame,
    dtr: dtr === undefined ? usual.dtr : dtr === "on",
    rts: rts === undefined ? usual.rts : rts === "on",
  };
}

function baudRate(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  const baud = Number(text);
  if (/^\d+$/.test(text) && baud >= 50 && baud <= 4_000_000) return baud;
  throw badOption("baud", text, "Give bits per second as a whole number, such as 2400.");
}

/** Data bits, parity and stop bits as a serial driver wants them. */
export function splitFraming(frame: Framing): {
  dataBits: 7 | 8;
  parity: "none" | "even" | "odd";
  stopBits: 1 | 2;
} {
  const parities = { n: "none", e: "even", o: "odd" } as const;
  return {
    dataBits: frame.startsWith("7") ? 7 : 8,
    parity: parities[frame.charAt(1) as keyof typeof parities],
    stopBits: frame.endsWith("2") ? 2 : 1,
  };
}
