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
 * parts the others by what they say. Plain arrays: this is done for every hypothesis.
 */
export function alive(evidence: readonly Evidence[], hypotheses: readonly Hypothesis[]): Group[] {
  const margin = Math.min(HOPELESS.most, HOPELESS.least + HOPELESS.each * evidence.length);
  const scores = Float64Array.from(hypotheses, ({ logOdds }) => logOdds);
  const groups = new Int32Array(hypotheses.length);
  let left = Int32Array.from(hypotheses.keys());
  for (const item of evidence) {
    const parting = new Parting();
    let best = -Infinity;
    for (const i of left) {
      const hypothesis = hypotheses[i];
      if (hypothesis === undefined) continue;
      const shown = item.shown(hypothesis);
      const score = (scores[i] ?? 0) + shown.alone;
      scores[i] = score;
      if (score > best) best = score;
      groups[i] = parting.part(groups[i] ?? 0, shown);
    }
    left = left.filter((i) => (scores[i] ?? 0) >= best - margin);
  }
  return gathered(evidence, hypotheses, left, groups);
}

/** Parts groups by what their members show. */
class Parting {
  private readonly parts: Map<Shown, number>[] = [];
  private count = 0;

  part(group: number, shown: Shown): number {
    const ofGroup = (this.parts[group] ??= new Map<Shown, number>());
    const known = ofGroup.get(shown);
    if (known !== undefined) return known;
    ofGroup.set(shown, this.count);
    return this.count++;
  }
}

function gathered(
  evidence: readonly Evidence[],
  hypotheses: readonly Hypothesis[],
  left: Int32Array,
  groupOf: Int32Array,
): Group[] {
  const groups = new Map<number, { hypotheses: Hypothesis[]; shown: Shown[]; most: number }>();
  for (const i of left) {
    const hypothesis = hypotheses[i];
    if (hypothesis === undefined) continue;
    const known = groups.get(groupOf[i] ?? 0);
    if (known === undefined) {
      const shown = evidence.map((item) => item.shown(hypothesis));
      groups.set(groupOf[i] ?? 0, { hypotheses: [hypothesis], shown, most: hypothesis.logOdds });
    } else {
      known.hypotheses.push(hypothesis);
      known.most = Math.max(known.most, hypothesis.logOdds);
    }
  }
  return [...groups.values()];
}
