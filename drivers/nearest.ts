/**
 * The known word that a mistyped one most likely meant: the smallest number of single-character
 * edits (Levenshtein distance), and null where even that is over half of the word.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  let best: string | null = null;
  let fewest = Math.floor(word.length / 2) + 1;
  for (const candidate of known) {
    const edits = distance(word.toLowerCase(), candidate);
    if (edits < fewest) [best, fewest] = [candidate, edits];
  }
  return best;
}

function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let i = 1; i <= a.length; i += 1) {
    const next = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const swap = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(swap, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[b.length] ?? 0;
}
