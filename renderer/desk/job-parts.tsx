import { useState } from "react";
import type { JobParts as Answer } from "../../workbench/contract/parts-calls.js";
import { useCan } from "../store/bench-context.js";
import { useAsked } from "../store/use-answer.js";
import { partWords } from "../view/path-view.js";
import { numberIn, USUAL_TERMS } from "../view/parts-view.js";
import type { TermsText } from "../view/parts-view.js";
import { SelectField, TextField } from "./field.js";
import { PartsDecision } from "./parts-decision.js";
import { PriceImport } from "./price-import.js";

const THRESHOLDS: readonly (readonly [string, string])[] = [
  ["0.95", "Only what is condemned (95 %)"],
  ["0.5", "More likely than not (50 %)"],
  ["0.3", "Suspects from 30 % on"],
  ["0.1", "Suspects from 10 % on"],
];

/** What the finding costs: repair against replacement, by the shop's own prices. */
export function JobParts({ job }: { readonly job: string }) {
  const [terms, setTerms] = useState<TermsText>(USUAL_TERMS);
  const [turn, setTurn] = useState(0);
  const canImport = useCan("importPrices");
  const asked = {
    job,
    threshold: Number(terms.threshold),
    newTool: numberIn(terms.newTool),
    perHour: numberIn(terms.perHour) ?? 0,
  };
  const { answer } = useAsked("jobParts", asked, turn);
  if (answer === null) return null;
  return (
    <section className="card form" aria-label="Parts and money" data-testid="job-parts">
      <h2>Parts and money</h2>
      <Finding answer={answer} />
      {answer.finding !== null && (
        <>
          <TermsFields terms={terms} currency={answer.prices?.currency ?? ""} onChange={setTerms} />
          {answer.decision && <PartsDecision answer={answer} decision={answer.decision} />}
          {canImport && (
            <PriceImport
              kind={answer.kind}
              prices={answer.prices}
              onImported={() => setTurn(turn + 1)}
            />
          )}
        </>
      )}
    </section>
  );
}

/** Suspects with their state in words; what is cleared or not known stays on the power path. */
function Finding({ answer: { finding } }: { readonly answer: Answer }) {
  if (finding === null) {
    return <p>This kind of tool has no model yet: judge by the recorded steps.</p>;
  }
  const named = finding.parts.filter(({ state }) => state === "suspect" || state === "condemned");
  if (named.length === 0) return <p>No part is suspect in what was measured.</p>;
  return (
    <>
      <ul className="parts-found">
        {named.map((part) => (
          <li key={part.id} data-state={part.state}>
            <b>{part.label}</b>: {partWords({ ...part, reason: null })}
          </li>
        ))}
      </ul>
      {!finding.settled && (
        <p className="small">The finding is not settled: measure on before you order.</p>
      )}
    </>
  );
}

interface TermsProps {
  readonly terms: TermsText;
  readonly currency: string;
  readonly onChange: (terms: TermsText) => void;
}

function TermsFields({ terms, currency, onChange }: TermsProps) {
  const unit = currency === "" ? "" : `, ${currency}`;
  return (
    <div className="fields">
      <SelectField
        label="Replace"
        value={terms.threshold}
        options={THRESHOLDS}
        onChange={(threshold) => onChange({ ...terms, threshold })}
      />
      <TextField
        label={`A new tool costs${unit}`}
        name="new-tool"
        type="number"
        value={terms.newTool}
        onChange={(newTool) => onChange({ ...terms, newTool })}
      />
      <TextField
        label={`An hour at the bench costs${unit}`}
        name="per-hour"
        type="number"
        value={terms.perHour}
        onChange={(perHour) => onChange({ ...terms, perHour })}
      />
    </div>
  );
}
