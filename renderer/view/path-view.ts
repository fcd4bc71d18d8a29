import type { PartStatus, PowerPath } from "../../workbench/contract/events.js";
import { shareText } from "./verdict-words.js";

export interface PathPoint {
  readonly id: string;
  readonly label: string;
  /** Which probe goes there next. */
  readonly probe: "red" | "black" | null;
}

export interface PathRow {
  readonly part: PartStatus;
  /** The state in words, odds included. */
  readonly words: string;
  /** Probe points after this part. */
  readonly points: readonly PathPoint[];
}

export interface PathView {
  /** Points before the first part. */
  readonly before: readonly PathPoint[];
  readonly rows: readonly PathRow[];
}

export function pathView(path: PowerPath): PathView {
  const pointsAfter = (part: string | null): readonly PathPoint[] =>
    path.points
      .filter((point) => point.after === part)
      .map(({ id, label }) => ({ id, label, probe: probeAt(path.next, id) }));
  const rows = path.parts.map((part) => ({
    part,
    words: partWords(part),
    points: pointsAfter(part.id),
  }));
  return { before: pointsAfter(null), rows };
}

function probeAt(next: PowerPath["next"], id: string): PathPoint["probe"] {
  if (next?.red === id) return "red";
  return next?.black === id ? "black" : null;
}

export function partWords(part: PartStatus): string {
  switch (part.state) {
    case "unknown":
      return "not known yet";
    case "cleared":
      return "cleared";
    case "suspect":
      return part.odds === null ? "suspect" : `suspect, ${shareText(part.odds)}`;
    case "condemned":
      return "at fault";
  }
}
