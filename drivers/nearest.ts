import { editDistance } from "../protocols/text/edit-distance.js";

/**
 * The known word that a mistyped one most likely meant: the smallest number of single-character
 * edits (Levenshtein distance), and null where even that is over half of the word.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  let best: string | null = null;
  let fewest = Math.floor(word.length / 2) + 1;
  for (const candidate of known) {
    const edits = editDistance(word.toLowerCase(), candidate);
    if (edits < fewest) [best, fewest] = [candidate, edits];
  }
  return best;
}
