/**
 * Sets of components and what follows from them, after de Kleer & Williams, "Diagnosing Multiple
 * Faults", Artificial Intelligence 32 (1987) 97-130, and Reiter (1987). A *conflict* is a set of
 * components that cannot all be sound; a *candidate* is a set of faulty components that explains
 * everything observed. Minimal candidates are the minimal hitting sets of the minimal conflicts,
 * and the other way round.
 */
export type ComponentSet<T> = readonly T[];

/** The sets that contain no other of the sets. */
export function minimalSets<T>(sets: readonly ComponentSet<T>[]): ComponentSet<T>[] {
  const bySize = [...sets].sort((a, b) => a.length - b.length);
  const minimal: ComponentSet<T>[] = [];
  for (const set of bySize) {
    if (!minimal.some((small) => small.every((item) => set.includes(item)))) minimal.push(set);
  }
  return minimal;
}

/** All smallest sets that have something in common with every given set. */
export function minimalHittingSets<T>(sets: readonly ComponentSet<T>[]): ComponentSet<T>[] {
  let hitting: ComponentSet<T>[] = [[]];
  for (const set of sets) {
    hitting = minimalSets(
      hitting.flatMap((hit) =>
        hit.some((item) => set.includes(item)) ? [hit] : set.map((item) => [...hit, item]),
      ),
    );
  }
  return hitting;
}

/**
 * Minimal candidates of at most `most` faulty components, by asking in order of size and never
 * beyond a candidate that is known. `consistent` tells whether everything observed can happen when
 * these components are faulty (anything goes) and all others sound.
 */
export function minimalCandidates<T>(
  components: readonly T[],
  consistent: (faulty: ComponentSet<T>) => boolean,
  most: number,
): ComponentSet<T>[] {
  const found: ComponentSet<T>[] = [];
  let sized: ComponentSet<T>[] = [[]];
  for (let size = 0; size <= most; size += 1) {
    const rest: ComponentSet<T>[] = [];
    for (const set of sized) {
      if (found.some((small) => small.every((item) => set.includes(item)))) continue;
      if (consistent(set)) found.push(set);
      else rest.push(set);
    }
    sized = rest.flatMap((set) =>
      components.slice(1 + lastIndex(components, set)).map((item) => [...set, item]),
    );
  }
  return found;
}

function lastIndex<T>(components: readonly T[], set: ComponentSet<T>): number {
  return set.reduce((last, item) => Math.max(last, components.indexOf(item)), -1);
}
