import type { Decoder } from "./decoder.js";
import type { Dialogue } from "./dialogue.js";

/** Data bits, parity, stop bits, as the trade writes it. */
export type Framing = "8n1" | "7o1" | "7e1" | "8n2" | "8e1" | "8o1" | "7n1";

/** How a serial line has to be set for a protocol. */
export interface LineSettings {
  readonly baud: number;
  readonly frame: Framing;
  /** Some optically isolated cables draw their supply from these lines. */
  readonly dtr: boolean;
  readonly rts: boolean;
}

/** Options of a protocol as they stand in a meter address (`?separator=,`). */
export type ProtocolOptions = Readonly<Record<string, string>>;

/** One way of talking to a meter. A new one is a decoder, a fixture, a test and a registry line. */
export interface Protocol {
  /** Named by mechanism, never by brand. */
  readonly id: string;
  /** For a list on a screen: one line. */
  readonly title: string;
  readonly line: LineSettings;
  /** Expected time between readings, seconds; the session's silence watchdog starts from it. */
  readonly interval_s: number;
  /** Length of a fixed frame in bytes; null for lines. */
  readonly frameLength: number | null;
  /**
   * Values without any framing, as a radio's notifications: any bytes are readings, so that bytes
   * prove nothing, and the meter's address has to say what they are.
   */
  readonly isUnframed?: true;
  /** Options under which it is looked for as well, where bytes of unknown origin do not fit it plain. */
  readonly variants?: readonly ProtocolOptions[];
  /** Names of the options that `createDecoder` and `createDialogue` understand; absent: none. */
  readonly options?: readonly string[];
  createDecoder(options?: ProtocolOptions): Decoder;
  /** Present where the meter must be asked. */
  createDialogue?(options?: ProtocolOptions): Dialogue;
}
