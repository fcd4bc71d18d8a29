import { verdictWord } from "../view/verdict-words.js";
import type { Verdict } from "../view/verdict-words.js";

export function VerdictWord({ verdict }: { readonly verdict: Verdict }) {
  return (
    <span className="verdict" data-verdict={verdict}>
      {verdictWord(verdict)}
    </span>
  );
}
