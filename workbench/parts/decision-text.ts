import type { Decision } from "./decision.js";

/** Both options as lines for a person. */
export function decisionLines(decision: Decision): string[] {
  const { currency, suspects, repair, uncovered, replace, warranty, cheaper, assumptions } =
    decision;
  const money = (amount: number): string => `${amount.toFixed(2)} ${currency}`;
  return [
    "",
    `Parts to replace: ${suspects.length === 0 ? "none" : suspects.join(", ")}.`,
    repair === null
      ? `Repair: the price list has nothing for ${uncovered.join(", ")}.`
      : `Repair: ${money(repair.total)} (parts ${money(repair.parts_cost)}, ${repair.labour_min} min labour ${money(repair.labour_cost)}).`,
    ...(repair?.items ?? []).map(
      ({ number, label, covers, price }) =>
        `  ${number.padEnd(14)} ${label} (${covers.join(", ")}): ${money(price)}`,
    ),
    replace === null ? "Replacement: no price was given." : `Replacement: ${money(replace.total)}.`,
    ...(warranty === null ? [] : [warranty.words]),
    ...(cheaper === null ? [] : [`Cheaper: ${cheaper}.`]),
    ...assumptions.map((words) => `  Assumed: ${words}`),
  ];
}
