/** Levenshtein distance: how many letters to insert, delete or replace to make one of the other. */
export function editDistance(from: string, to: string): number {
  let row = Array.from({ length: to.length + 1 }, (_, column) => column);
  for (const [n, letter] of Array.from(from).entries()) {
    const next = [n + 1];
    for (let m = 0; m < to.length; m++) {
      const replace = (row[m] ?? 0) + (letter === to[m] ? 0 : 1);
      next.push(Math.min(replace, (row[m + 1] ?? 0) + 1, (next[m] ?? 0) + 1));
    }
    row = next;
  }
  return row[to.length] ?? 0;
}
