import type { PartStatus } from "../contract/events.js";
import { conclusionOf, PathReasoner } from "../diagnosis/path-reasoner.js";
import type { JobFile } from "./job-file.js";
import type { JournalEvent } from "./journal-event.js";
import type { RecordedStep } from "./last-results.js";

/** What was concluded of the parts then and what follows from the replayed results now. */
export interface ConclusionCompared {
  readonly recorded: string;
  readonly now: string;
  /** null: this program has no model of the kind of tool, so that nothing follows here. */
  readonly agrees: boolean | null;
  /** Parts whose state, odds or reason come out otherwise, in words. */
  readonly differences: readonly string[];
}

/** Odds that differ by less print the same and decide the same. */
const SAME_ODDS = 1e-6;

/** null where no conclusion was recorded. */
export function compareConclusion(
  file: JobFile,
  events: readonly JournalEvent[],
  results: readonly RecordedStep[],
): ConclusionCompared | null {
  const recorded = events.findLast((event) => event.kind === "conclusion");
  if (recorded === undefined) return null;
  const reasoner = new PathReasoner(file.plan, file.tool.data, file.experience);
  for (const result of results) reasoner.take(result);
  for (const event of events) if (event.kind === "probed") reasoner.recall(event);
  const path = reasoner.path();
  const now = conclusionOf(path);
  if (path.parts.length === 0) {
    return { recorded: recorded.words, now, agrees: null, differences: [] };
  }
  const differences = differingParts(recorded.parts, path.parts);
  const agrees = recorded.words === now && differences.length === 0;
  return { recorded: recorded.words, now, agrees, differences };
}

function differingParts(then: readonly PartStatus[], now: readonly PartStatus[]): string[] {
  const old = new Map(then.map((part) => [part.id, part]));
  const ids = new Set([...then, ...now].map(({ id }) => id));
  const fresh = new Map(now.map((part) => [part.id, part]));
  return [...ids].flatMap((id) => {
    const [a, b] = [old.get(id), fresh.get(id)];
    if (a !== undefined && b !== undefined && samePart(a, b)) return [];
    return [`${(a ?? b)?.label ?? id}: recorded ${partWords(a)}, now ${partWords(b)}`];
  });
}

function samePart(a: PartStatus, b: PartStatus): boolean {
  if (a.state !== b.state || a.reason !== b.reason) return false;
  if (a.odds === null || b.odds === null) return a.odds === b.odds;
  return Math.abs(a.odds - b.odds) <= SAME_ODDS;
}

function partWords(part: PartStatus | undefined): string {
  if (part === undefined) return "nothing";
  return part.odds === null ? part.state : `${part.state} (${(part.odds * 100).toPrecision(3)} %)`;
}
