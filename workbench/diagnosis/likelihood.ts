import type { Shown, Weighed } from "./evidence.js";
import { Pile } from "./gaussian.js";
import type { Joint, Loads } from "./gaussian.js";
import { withSlips } from "./slips.js";

/** How well one hypothesis explains everything that was observed. */
export class Fit {
  private kept: Trusted | null = null;

  constructor(
    readonly logLikelihood: number,
    /** Probability, given the hypothesis, that observation i is a slip of the hand. */
    readonly slips: readonly number[],
    private readonly shown: readonly Shown[],
  ) {}

  /** The readings that count as numbers, for predicting the next. */
  trusted(): Trusted {
    return (this.kept ??= trusted(this.shown, this.slips));
  }
}

export interface Trusted {
  readonly joint: Joint;
  readonly loads: readonly Loads[];
}

/**
 * Weighs what many hypotheses show of the same readings. Most differ in few readings only: these
 * come last, so that the rest stays on the pile from one hypothesis to the next.
 */
export class Fits {
  private readonly order: readonly number[];
  private readonly pile = new Pile();
  /** What is on the pile, in order, also what is not a number. */
  private readonly piled: Shown[] = [];
  private readonly numbers: { readonly index: number; readonly weighed: Weighed }[] = [];

  /** `all`: per hypothesis what it shows. */
  constructor(all: readonly (readonly Shown[])[]) {
    const kinds = (all[0] ?? []).map((_, i) => new Set(all.map((shown) => shown[i])).size);
    this.order = kinds.map((_, i) => i).sort((a, b) => (kinds[a] ?? 0) - (kinds[b] ?? 0));
  }

  of(shown: readonly Shown[]): Fit {
    this.pileUp(shown);
    const slips: number[] = [];
    let given = 0;
    for (const one of shown) {
      slips.push(one.weighed === null ? one.slip : 0);
      given += one.given;
    }
    const log = withSlips(this.numbers, this.pile, slips);
    return new Fit(log + given, slips, shown);
  }

  private pileUp(shown: readonly Shown[]): void {
    const { order, piled, numbers, pile } = this;
    let same = 0;
    while (same < piled.length && piled[same] === shown[order[same] ?? 0]) same += 1;
    while (piled.length > same) if (piled.pop()?.weighed) numbers.pop();
    pile.cut(numbers.length);
    for (let at = same; at < order.length; at += 1) {
      const index = order[at] ?? 0;
      const one = shown[index];
      if (one === undefined) continue;
      piled.push(one);
      if (one.weighed === null) continue;
      numbers.push({ index, weighed: one.weighed });
      pile.put(one.weighed);
    }
  }
}

/** A reading that is probably a slip must not pull the prediction of the next one. */
function trusted(shown: readonly Shown[], slips: readonly number[]): Trusted {
  const readings = shown.flatMap(({ weighed }, i) =>
    weighed === null || (slips[i] ?? 0) >= 0.5 ? [] : [weighed],
  );
  const pile = new Pile();
  for (const reading of readings) pile.put(reading);
  return { joint: pile.joint(), loads: readings.map(({ loads }) => loads) };
}
