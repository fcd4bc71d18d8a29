/** Where a code belongs: decides, among other things, the exit status of the command line. */
export type ErrorArea =
  "usage" | "input" | "meter" | "plan" | "job" | "pack" | "diagnosis" | "desktop" | "internal";

/** Stable for ever once released: people search for it, scripts match on it. */
export type ErrorCode = `${ErrorArea}/${string}`;

export interface ErrorText {
  /** What happened, as one sentence that a technician understands. */
  readonly what: string;
  /** What to do now, in the imperative. */
  readonly action: string;
  readonly cause?: unknown;
}

/**
 * The one error class of the program. Its message carries the code, what happened and what to do
 * now, so that a screenshot of it is a complete report.
 */
export class LeadhandError extends Error {
  override readonly name = "LeadhandError";
  readonly code: ErrorCode;
  readonly what: string;
  readonly action: string;

  constructor(code: ErrorCode, text: ErrorText) {
    super(
      `${text.what} ${text.action} [${code}]`,
      text.cause === undefined ? undefined : { cause: text.cause },
    );
    this.code = code;
    this.what = text.what;
    this.action = text.action;
  }

  get area(): ErrorArea {
    return this.code.slice(0, this.code.indexOf("/")) as ErrorArea;
  }
}

/** Anything thrown, as an error of ours; what is not ours is a defect and says so. */
export function toLeadhandError(thrown: unknown): LeadhandError {
  if (thrown instanceof LeadhandError) return thrown;
  const detail = thrown instanceof Error ? thrown.message : String(thrown);
  return new LeadhandError("internal/unexpected", {
    what: `Something went wrong that the program did not expect: ${detail}.`,
    action: "Report it with this text; what was recorded so far is on disk.",
    cause: thrown,
  });
}
