import type { Compiled, FixedEffect } from "./compile.js";

/**
 * Where each unknown value has its place among the loads of a prediction. The last three places are
 * the charge that all sources share, the test leads, and what the turning motor draws.
 */
export interface Places {
  readonly count: number;
  readonly ohm: (element: number, altered: boolean) => number;
  readonly volt: (element: number, altered: boolean) => number;
}

/**
 * A fault that acts only under some conditions brings a value of its own: the voltage of a pack
 * under load that collapses says nothing about its voltage at rest.
 */
export function unknownPlaces({ elements, variants, manners }: Compiled): Places {
  let count = elements.length;
  const take = (): number => count++;
  const conditional = [...variants, ...manners]
    .flatMap(({ effects }) => effects)
    .filter((effect) => effect.when !== undefined);
  const has = (element: number, field: keyof FixedEffect): boolean =>
    conditional.some((effect) => effect.element === element && effect[field] !== undefined);
  const volts = elements.map(({ kind }) => (kind === "source" ? take() : 0));
  const alteredOhm = elements.map((_, element) => (has(element, "ohm") ? take() : element));
  const alteredVolt = elements.map((_, element) =>
    has(element, "volt") ? take() : (volts[element] ?? 0),
  );
  return {
    count: count + 3,
    ohm: (element, altered) => (altered ? (alteredOhm[element] ?? 0) : element),
    volt: (element, altered) => (altered ? alteredVolt : volts)[element] ?? 0,
  };
}
