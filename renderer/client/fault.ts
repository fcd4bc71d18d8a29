import type { ErrorReport } from "../../workbench/contract/events.js";

/** An answer of the bench that is an error, in the words in which the window shows it. */
export class BenchFault extends Error implements ErrorReport {
  override readonly name = "BenchFault";
  readonly code: string;
  readonly what: string;
  readonly action: string;

  constructor(report: ErrorReport) {
    super(`${report.what} ${report.action} [${report.code}]`);
    this.code = report.code;
    this.what = report.what;
    this.action = report.action;
  }
}

export function toReport(thrown: unknown): ErrorReport {
  if (thrown instanceof BenchFault) {
    return { code: thrown.code, what: thrown.what, action: thrown.action };
  }
  const detail = thrown instanceof Error ? thrown.message : String(thrown);
  return {
    code: "internal/window",
    what: `The window hit something that it did not expect: ${detail}.`,
    action: "Report it with this text; what was recorded so far is on disk.",
  };
}

export const benchGone: ErrorReport = {
  code: "desktop/bench-gone",
  what: "The bench process does not answer.",
  action: "Wait until it is back; what was recorded is on disk. If it stays away, start again.",
};
