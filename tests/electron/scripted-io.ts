import type { Io } from "../../electron/cli/io.js";

export interface ScriptedIo extends Io {
  readonly lines: string[];
  readonly messages: string[];
}

/** The outside of a command, in memory. */
export function scriptedIo(
  input: readonly Uint8Array[] = [],
  env: Readonly<Record<string, string>> = {},
): ScriptedIo {
  const lines: string[] = [];
  const messages: string[] = [];
  return {
    lines,
    messages,
    env,
    stdin: (async function* () {
      await Promise.resolve();
      yield* input;
    })(),
    out: (line) => void lines.push(line),
    err: (line) => void messages.push(line),
  };
}
