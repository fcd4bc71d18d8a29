import type { Compiled, CompiledManner, Variant } from "./compile.js";

/** A set of faults, with the manner in which this tool is built where that is not known. */
export interface Hypothesis {
  readonly faults: readonly Variant[];
  readonly manners: readonly CompiledManner[];
  /** Prior odds against the healthy tool, and their natural logarithm. */
  readonly odds: number;
  readonly logOdds: number;
  /** Its place in the list of up to two faults; negative for all others. */
  readonly number: number;
  /** The parts at fault, in the order of the path; their name is equal where these are. */
  readonly parts: readonly number[];
  readonly partsName: string;
  /** The intermittent ones among the faults. */
  readonly fickle: readonly Variant[];
}

/** All hypotheses that were asked about, each made once: equal sets of faults are one object. */
export class Hypotheses {
  private readonly known = new Map<string, Hypothesis>();
  /** The healthy tool, every single and every double fault, in every manner the tool may have. */
  readonly doubles: readonly Hypothesis[];

  constructor(compiled: Compiled) {
    const sets = setsOf(compiled);
    let number = 0;
    this.doubles = mannersOf(compiled).flatMap(({ manners, probability }) =>
      sets
        .filter((faults) => faults.every(({ part }) => isThere(part, manners)))
        .map((faults) => this.made(faults, manners, probability * oddsOf(faults), number++)),
    );
  }

  /** `faults` in the order of the list of variants. */
  of(faults: readonly Variant[], manners: readonly CompiledManner[], odds: number): Hypothesis {
    return this.known.get(nameOf(faults, manners)) ?? this.made(faults, manners, odds, -1);
  }

  private made(
    faults: readonly Variant[],
    manners: readonly CompiledManner[],
    odds: number,
    number: number,
  ): Hypothesis {
    const fickle = faults.filter((fault) => fault.mode.shows !== undefined);
    const logOdds = Math.log(odds);
    const parts = faults.map((fault) => fault.part).sort((a, b) => a - b);
    const partsName = parts.join(" ");
    const made = { faults, manners, odds, logOdds, number, parts, partsName, fickle };
    this.known.set(nameOf(faults, manners), made);
    return made;
  }

  /** The same tool in a moment when no intermittent fault shows; itself where it has none. */
  steady(hypothesis: Hypothesis): Hypothesis {
    const { faults, fickle, manners, odds } = hypothesis;
    if (fickle.length === 0) return hypothesis;
    return this.of(
      faults.filter((fault) => !fickle.includes(fault)),
      manners,
      odds,
    );
  }
}

function nameOf(faults: readonly Variant[], manners: readonly CompiledManner[]): string {
  return `${indices(faults)}/${indices(manners)}`;
}

export function indices(items: readonly { readonly index: number }[]): string {
  let text = "";
  for (const { index } of items) text += `${index} `;
  return text;
}

/**
 * A tool on the bench was brought in because somebody found it at fault: how much less likely a
 * healthy one is here than its parts alone would say. Shop experience, no source.
 */
const HEALTHY_ON_THE_BENCH = 0.05;

function setsOf({ variants }: Compiled): (readonly Variant[])[] {
  const sets: (readonly Variant[])[] = [[]];
  variants.forEach((first, index) => {
    sets.push([first]);
    for (const second of variants.slice(index + 1)) {
      if (second.part !== first.part) sets.push([first, second]);
    }
  });
  return sets;
}

/** The same faults and one more, at any part that is not yet among them. */
export function extended(
  compiled: Compiled,
  hypotheses: Hypotheses,
  base: Hypothesis,
): Hypothesis[] {
  const taken = new Set(base.faults.map((fault) => fault.part));
  return compiled.variants
    .filter(({ part }) => !taken.has(part) && isThere(part, base.manners))
    .map((variant) =>
      hypotheses.of(
        [...base.faults, variant].sort((a, b) => a.index - b.index),
        base.manners,
        base.odds * variant.odds,
      ),
    );
}

function isThere(part: number, manners: readonly CompiledManner[]): boolean {
  return manners.every(({ without }) => !without.has(part));
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
