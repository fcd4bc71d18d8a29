import type { RecordedResult, StepOutline } from "../../workbench/contract/events.js";
import { verdictWord } from "../view/verdict-words.js";

interface Props {
  readonly result: Pick<RecordedResult, "verdict" | "reason">;
  readonly kind?: StepOutline["kind"] | undefined;
}

export function VerdictWord({ result, kind }: Props) {
  return (
    <span className="verdict" data-verdict={result.verdict}>
      {verdictWord(result, kind)}
    </span>
  );
}
