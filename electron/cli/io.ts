import type { ErrorArea } from "../../protocols/error.js";

/** Exit statuses of the command line, a published contract. */
export const EXIT = { done: 0, stepFailed: 1, usage: 2, meterLost: 3 } as const;
export type ExitStatus = (typeof EXIT)[keyof typeof EXIT];

/** What a command may touch of the outside, so that tests run commands without a process. */
export interface Io {
  readonly stdin: AsyncIterable<Uint8Array>;
  /** Machine-readable or main output: one line or several, without the last newline. */
  readonly out: (line: string) => void;
  /** Resolves when the outside has taken what was written; absent where it always has. */
  readonly taken?: () => Promise<void>;
  /** Messages for people. */
  readonly err: (line: string) => void;
  readonly env: Readonly<Record<string, string | undefined>>;
}

export function exitFor(area: ErrorArea): ExitStatus {
  return area === "meter" ? EXIT.meterLost : EXIT.usage;
}
