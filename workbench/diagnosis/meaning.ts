import type { ToolModel } from "../models/model.js";
import type { Proposal } from "./next-probe.js";
import { oddsWords, placeWords, valueWords } from "./words.js";

/** What one outcome of the proposed measurement would mean. */
export interface Meaning {
  /** "about 18.5 to 20 V", "open", "no". */
  readonly outcome: string;
  readonly probability: number;
  /** What it would leave as the likeliest, with its odds. */
  readonly words: string;
}

/** Outcomes less likely than this are left out. */
const WORTH_SAYING = 0.02;

/** Neighbouring outcomes that point to the same candidate are told as one. */
export function meanings(model: ToolModel, proposal: Proposal): Meaning[] {
  const groups: { outcomes: number[]; top: number }[] = [];
  const weight = (o: number): number => proposal.joint.reduce((sum, row) => sum + (row[o] ?? 0), 0);
  const total = proposal.outcomes.reduce((sum, _, o) => sum + weight(o), 0);
  proposal.outcomes.forEach((_, o) => {
    if (weight(o) / total < 0.002) return;
    const top = topOf(proposal, [o]);
    const group = groups.at(-1);
    if (group !== undefined && group.top === top && joins(proposal, o)) group.outcomes.push(o);
    else groups.push({ outcomes: [o], top });
  });
  return groups
    .map(({ outcomes, top }) => {
      const probability = outcomes.reduce((sum, o) => sum + weight(o), 0) / total;
      const row = proposal.joint[top] ?? [];
      const share = outcomes.reduce((sum, o) => sum + (row[o] ?? 0), 0) / (probability * total);
      const words = `${candidateWords(model, proposal, top)} (${oddsWords(share)})`;
      return { outcome: outcomeWords(proposal, outcomes), probability, words };
    })
    .filter((meaning) => meaning.probability >= WORTH_SAYING);
}

function topOf({ joint }: Proposal, outcomes: readonly number[]): number {
  const sums = joint.map((row) => outcomes.reduce((sum, o) => sum + (row[o] ?? 0), 0));
  return sums.reduce((best, value, i) => (value > (sums[best] ?? 0) ? i : best), 0);
}

function joins({ outcomes }: Proposal, o: number): boolean {
  const outcome = outcomes[o];
  return outcome !== undefined && "range" in outcome && outcome.range !== null;
}

function candidateWords(model: ToolModel, { candidates }: Proposal, index: number): string {
  const parts = candidates[index]?.parts ?? [];
  if (parts.length === 0) return "nothing at fault";
  return parts.map((part) => model.parts[part]?.label.toLowerCase() ?? "?").join(" and ");
}

function outcomeWords({ ask, outcomes }: Proposal, group: readonly number[]): string {
  const [first, last] = [outcomes[group[0] ?? 0], outcomes[group.at(-1) ?? 0]];
  if (first === undefined || last === undefined) return "?";
  if ("value" in first) return first.value;
  if (first.range === null || !("range" in last) || last.range === null) return "open";
  const quantity = ask.kind === "measure" ? ask.probe.quantity : "voltage";
  const [low, high] = [first.range[0], last.range[1]];
  if (low < 0 && high >= 1e3) return quantity === "voltage" ? "any voltage" : "not open";
  if (low < 0 && high <= 0.7) return `nearly ${valueWords(quantity, 0)}`;
  if (high >= 1e3) return `above ${valueWords(quantity, low)}`;
  return low < 0
    ? `below ${valueWords(quantity, high)}`
    : `${valueWords(quantity, low)} to ${valueWords(quantity, high)}`;
}

/** The proposal as one instruction, imperative. */
export function askWords(model: ToolModel, { ask }: Pick<Proposal, "ask">): string {
  if (ask.kind === "see") return `Look: ${ask.sighting.label}.`;
  const what = ask.probe.quantity === "voltage" ? "volts" : "ohms";
  const [measure, anew] =
    ask.again === true ? ["Repeat: measure", ", touching anew"] : ["Measure", ""];
  const words = `${measure} ${what} ${placeWords(model, ask.target)}${anew}.`;
  const { first } = ask.probe;
  return first === undefined || ask.ready === true ? words : `${first}. ${words}`;
}
