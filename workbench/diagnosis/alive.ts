import type { Evidence, Shown } from "./evidence.js";
import type { Hypothesis } from "./hypotheses.js";

/** Hypotheses that say the same of everything observed. */
export interface Group {
  readonly hypotheses: readonly Hypothesis[];
  readonly shown: readonly Shown[];
  /** Greatest log prior odds among them. */
  readonly most: number;
}

/**
 * A hypothesis is weighed in full only when its readings, taken one by one, are not hopeless: so
 * many nats below the best. A slip of the hand costs at most 11, so one that is true is not lost;
 * readings that go together (one pack, read three times) move the balance by up to four nats each.
 */
export const HOPELESS = { least: 12, each: 4, most: 32 };

/**
 * Drops the hopeless reading by reading, so that most are asked about a few readings only, and
 * parts the others by what they say.
 */
export function alive(evidence: readonly Evidence[], hypotheses: readonly Hypothesis[]): Group[] {
  let left = hypotheses.map((hypothesis) => {
    const log = Math.log(hypothesis.odds);
    return { hypothesis, log, score: log, group: 0 };
  });
  const margin = Math.min(HOPELESS.most, HOPELESS.least + HOPELESS.each * evidence.length);
  for (const item of evidence) {
    const ids = new Map<Shown, number>();
    const groups = new Map<number, number>();
    let best = -Infinity;
    for (const one of left) {
      const shown = item.shown(one.hypothesis);
      one.score += shown.alone;
      if (one.score > best) best = one.score;
      const id = ids.get(shown) ?? ids.size;
      ids.set(shown, id);
      const key = one.group * SHOWN_AT_MOST + id;
      one.group = groups.get(key) ?? groups.size;
      groups.set(key, one.group);
    }
    left = left.filter((one) => one.score >= best - margin);
  }
  const groups: { hypotheses: Hypothesis[]; shown: readonly Shown[]; most: number }[] = [];
  for (const { hypothesis, log, group } of left) {
    const known = groups[group];
    if (known === undefined) {
      const shown = evidence.map((item) => item.shown(hypothesis));
      groups[group] = { hypotheses: [hypothesis], shown, most: log };
    } else {
      known.hypotheses.push(hypothesis);
      known.most = Math.max(known.most, log);
    }
  }
  return groups.flat();
}

/** What one observation can say differs in fewer ways than this. */
const SHOWN_AT_MOST = 2 ** 20;
