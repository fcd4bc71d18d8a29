import { editDistance } from "../../protocols/text/edit-distance.js";

/** The known name that differs least from what was written (Levenshtein distance), or null. */
export function nearest(written: string, known: readonly string[]): string | null {
  const ranked = known
    .map((name) => ({ name, distance: editDistance(written.toLowerCase(), name) }))
    .sort((a, b) => a.distance - b.distance);
  return ranked[0]?.name ?? null;
}

/** `"pack-pluss" is no point; the nearest is "pack-plus"` */
export function unknownName(what: string, written: string, known: readonly string[]): string {
  const near = nearest(written, known);
  const hint = near === null ? "there is none" : `the nearest is "${near}"`;
  return `"${written}" is no ${what}; ${hint}`;
}
