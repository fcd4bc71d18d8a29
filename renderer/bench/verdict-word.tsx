import type { StepOutline } from "../../workbench/contract/events.js";
import { verdictWord } from "../view/verdict-words.js";
import type { Verdict } from "../view/verdict-words.js";

interface Props {
  readonly verdict: Verdict;
  readonly kind?: StepOutline["kind"] | undefined;
}

export function VerdictWord({ verdict, kind }: Props) {
  return (
    <span className="verdict" data-verdict={verdict}>
      {verdictWord(verdict, kind)}
    </span>
  );
}
