import type { PartStatus, PowerPath } from "../../workbench/contract/events.js";
import { shareText } from "./verdict-words.js";

/** Where the probes belong now, by label or id. */
export interface ProbePlaces {
  readonly red: string | null;
  readonly black: string | null;
}

export interface PathPoint {
  readonly id: string;
  readonly label: string;
  /** Which probe goes there now. */
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

/** `now`: the points of the step that is running; without one those of the next probe. */
export function pathView(path: PowerPath, now: ProbePlaces | null): PathView {
  const places = now ?? path.next ?? { red: null, black: null };
  const pointsAfter = (part: string | null): readonly PathPoint[] =>
    path.points
      .filter((point) => point.after === part)
      .map(({ id, label }) => ({ id, label, probe: probeAt(places, id, label) }));
  const rows = path.parts.map((part) => ({
    part,
    words: partWords(part),
    points: pointsAfter(part.id),
  }));
  return { before: pointsAfter(null), rows };
}

function probeAt(places: ProbePlaces, id: string, label: string): PathPoint["probe"] {
  const is = (place: string | null): boolean =>
    place !== null && (place === id || place.toLowerCase() === label.toLowerCase());
  if (is(places.red)) return "red";
  return is(places.black) ? "black" : null;
}

export function partWords(part: PartStatus): string {
  switch (part.state) {
    case "unknown":
      return testedShare(part) > 0 ? "cleared in part" : "unknown";
    case "cleared":
      return "cleared";
    case "suspect":
      return part.odds === null ? "suspect" : `suspect, ${shareText(part.odds)}`;
    case "condemned":
      return "at fault";
  }
}

/** How much of its line is drawn full: the share of its faults that the readings rule out. */
export function testedShare({ state, tested }: PartStatus): number {
  return state === "cleared" ? 1 : (tested ?? 0);
}

/** Points of one place on one line: "Pack plus, minus" rather than the name twice. */
export function pointLabels(points: readonly PathPoint[]): string {
  return points
    .map(({ label }, at) => (at === 0 ? label : withoutShared(label, points[at - 1]?.label ?? "")))
    .join(", ");
}

function withoutShared(label: string, before: string): string {
  const words = label.split(" ");
  const others = before.split(" ");
  const differs = words.findIndex((word, at) => word !== others[at]);
  return words.slice(Math.max(0, differs)).join(" ");
}
