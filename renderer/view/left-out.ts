import type { Recorded } from "../store/state.js";

/** As the record has it where a step was left out because nothing more was to be learnt from it. */
const LEFT_OUT = "skipped: left out, ";

export function isLeftOut(reason: string | null): boolean {
  return reason?.startsWith(LEFT_OUT) ?? false;
}

interface LeftOutGroup {
  readonly reason: string;
  readonly titles: readonly string[];
}

/** Steps that were left out in the end, by their reason. */
export function leftOutGroups(ledger: readonly Recorded[]): LeftOutGroup[] {
  const last = new Map(ledger.map((each) => [each.result.step, each]));
  const groups = new Map<string, string[]>();
  for (const { result, title } of last.values()) {
    if (!isLeftOut(result.reason)) continue;
    const reason = result.reason?.slice(LEFT_OUT.length) ?? "";
    groups.set(reason, [...(groups.get(reason) ?? []), title]);
  }
  return [...groups].map(([reason, titles]) => ({ reason, titles }));
}
