import type { ChosenFunction, ScpiOptions } from "./options.js";

/** What is sent, one program message a line; SCPI-1999 vol. 2 chapters 3 and 24, from memory. */
export const IDENTIFY = "*IDN?";
export const READ_STATUS_BYTE = "*STB?";
/** Status byte, IEEE 488.2 and SCPI-1999 vol. 1 (from memory): bit 2, something in the error queue. */
export const ERROR_QUEUE_BIT = 1 << 2;

/**
 * A question whose answer is like no other: it sets the event status enable register, which
 * nothing here uses, and reads it back in front of the name. *IDN? has to be the last of a message.
 */
export const askMarked = (mark: number) => `*ESE ${mark};*ESE?;*IDN?`;
export const CLEAR_MARK = "*ESE 0";

export const nextError = ({ form }: ScpiOptions) => form("SYSTem:ERRor?");
export const askFunction = ({ form }: ScpiOptions) => form("FUNCtion?");

/** Brings the instrument into the state in which it is read; nothing of it is answered. */
export function setUp(options: ScpiOptions): string[] {
  const { form, functions, mode, samples } = options;
  const only = functions.length === 1 ? functions[0] : undefined;
  const lines = only === undefined || mode === "measure" ? [] : [configure(options, only)];
  if (samples > 1) lines.push(`${form("SAMPle:COUNt")} ${samples}`);
  if (mode === "continuous") lines.push(`${form("INITiate:CONTinuous")} ON`);
  return lines;
}

/** Asks for the next reading of `wanted`; null: of whatever the instrument is set to. */
export function askReading(options: ScpiOptions, wanted: ChosenFunction | null): string[] {
  const { form, functions, mode } = options;
  if (mode === "measure" && wanted !== null) {
    return [`${form(`MEASure:${wanted.node}?`)}${parameter(wanted)}`];
  }
  const alternating = wanted !== null && functions.length > 1;
  return [...(alternating ? [configure(options, wanted)] : []), ...trigger(options)];
}

function trigger({ form, mode }: ScpiOptions): string[] {
  switch (mode) {
    case "fetch":
      return [form("INITiate"), form("FETCh?")];
    case "continuous":
      return [form("FETCh?")];
    case "read":
    case "measure":
    case "listen":
      return [form("READ?")];
  }
}

function configure({ form }: ScpiOptions, wanted: ChosenFunction): string {
  return `${form(`CONFigure:${wanted.node}`)}${parameter(wanted)}`;
}

function parameter({ range }: ChosenFunction): string {
  return range === null ? "" : ` ${range}`;
}
