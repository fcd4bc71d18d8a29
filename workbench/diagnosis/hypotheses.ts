import type { Compiled, CompiledManner, Variant } from "./compile.js";

/** A set of faults, with the manner in which this tool is built where that is not known. */
export interface Hypothesis {
  readonly faults: readonly Variant[];
  readonly manners: readonly CompiledManner[];
  /** Prior odds against the healthy tool. */
  readonly odds: number;
  /** Its place in the list of up to two faults; negative for all others. */
  readonly number: number;
  /** The intermittent ones among the faults. */
  readonly fickle: readonly Variant[];
  /** The same tool in a moment when no intermittent fault shows; itself where it has none. */
  readonly steady: Hypothesis;
}

export function hypothesis(
  faults: readonly Variant[],
  manners: readonly CompiledManner[],
  odds: number,
  number = -1,
): Hypothesis {
  const fickle = faults.filter((fault) => fault.mode.shows !== undefined);
  if (fickle.length > 0) {
    const rest = faults.filter((fault) => !fickle.includes(fault));
    return { faults, manners, odds, number, fickle, steady: hypothesis(rest, manners, odds) };
  }
  const itself: Hypothesis = {
    faults,
    manners,
    odds,
    number,
    fickle,
    get steady() {
      return itself;
    },
  };
  return itself;
}

/**
 * A tool on the bench was brought in because somebody found it at fault: how much less likely a
 * healthy one is here than its parts alone would say. Shop experience, no source.
 */
const HEALTHY_ON_THE_BENCH = 0.05;

/** The healthy tool, every single and every double fault, in every manner the tool may have. */
export function upToDoubles(compiled: Compiled): Hypothesis[] {
  const sets: (readonly Variant[])[] = [[]];
  const { variants } = compiled;
  variants.forEach((first, index) => {
    sets.push([first]);
    for (const second of variants.slice(index + 1)) {
      if (second.part !== first.part) sets.push([first, second]);
    }
  });
  return inEveryManner(compiled, sets);
}

/** The same faults and one more, at any part that is not yet among them. */
export function extended(compiled: Compiled, base: Hypothesis): Hypothesis[] {
  const taken = new Set(base.faults.map((fault) => fault.part));
  return compiled.variants
    .filter((variant) => !taken.has(variant.part))
    .map((variant) =>
      hypothesis(
        [...base.faults, variant].sort((a, b) => a.index - b.index),
        base.manners,
        base.odds * variant.odds,
      ),
    );
}

function inEveryManner(compiled: Compiled, sets: readonly (readonly Variant[])[]): Hypothesis[] {
  let number = 0;
  return mannersOf(compiled).flatMap(({ manners, probability }) =>
    sets.map((faults) => hypothesis(faults, manners, probability * oddsOf(faults), number++)),
  );
}

function oddsOf(faults: readonly Variant[]): number {
  if (faults.length === 0) return HEALTHY_ON_THE_BENCH;
  return faults.reduce((odds, fault) => odds * fault.odds, 1);
}

interface MannerSet {
  readonly manners: readonly CompiledManner[];
  readonly probability: number;
}

function mannersOf({ manners }: Compiled): MannerSet[] {
  return manners
    .reduce<MannerSet[]>(
      (sets, one) =>
        sets.flatMap((set) => [
          {
            manners: [...set.manners, one],
            probability: set.probability * one.manner.probability,
          },
          { ...set, probability: set.probability * (1 - one.manner.probability) },
        ]),
      [{ manners: [], probability: 1 }],
    )
    .filter((set) => set.probability > 0);
}

/** Names a hypothesis by its parts alone, in the order of the path. */
export function partsOf({ faults }: Hypothesis): number[] {
  return faults.map((fault) => fault.part).sort((a, b) => a - b);
}
