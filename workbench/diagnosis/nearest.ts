/** The known name that differs least from what was written (Levenshtein distance), or null. */
export function nearest(written: string, known: readonly string[]): string | null {
  const ranked = known
    .map((name) => ({ name, distance: distance(written.toLowerCase(), name) }))
    .sort((a, b) => a.distance - b.distance);
  return ranked[0]?.name ?? null;
}

/** `"pack-pluss" is no point; the nearest is "pack-plus"` */
export function unknownName(what: string, written: string, known: readonly string[]): string {
  const near = nearest(written, known);
  const hint = near === null ? "there is none" : `the nearest is "${near}"`;
  return `"${written}" is no ${what}; ${hint}`;
}

function distance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
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
