/** What the person types, as it stands in the fields. */
export interface TermsText {
  readonly threshold: string;
  readonly newTool: string;
  readonly perHour: string;
}

/** The hour as in the reasoning's own defaults: common practice, no source. */
export const USUAL_TERMS: TermsText = { threshold: "0.3", newTool: "", perHour: "48" };

/** null where there is no number of zero or more. */
export function numberIn(text: string): number | null {
  const value = Number(text.trim());
  return text.trim() === "" || !Number.isFinite(value) || value < 0 ? null : value;
}

export function moneyText(amount: number, currency: string): string {
  return `${amount.toFixed(2)} ${currency}`;
}

/** "Red lead and Brushes". */
export function listText(words: readonly string[]): string {
  const last = words.at(-1) ?? "";
  return words.length < 2 ? last : `${words.slice(0, -1).join(", ")} and ${last}`;
}
