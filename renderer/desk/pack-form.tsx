import { useState } from "react";
import type { CallParams, CallResult } from "../../workbench/contract/calls.js";
import { useBench, useCan } from "../store/bench-context.js";
import { useAction } from "../store/use-action.js";
import { SelectField, TextField } from "./field.js";
import { dateText } from "./words.js";

interface Props {
  readonly job: string;
  readonly hasCustomer: boolean;
  /** Other runs of the tool, and which of them this job repeats after the repair. */
  readonly runs: CallResult<"otherRuns">["runs"];
  readonly repeats: string | null;
}

type Paper = CallParams<"packJob">["paper"];
const PAPERS: readonly (readonly [Paper, string])[] = [
  ["A4", "A4"],
  ["Letter", "Letter"],
];

/** Makes the claim pack, and looks at it as the warranty desk will. */
export function PackForm({ job, hasCustomer, runs, repeats }: Props) {
  const { client } = useBench();
  const act = useAction();
  const [shop, setShop] = useState("");
  const [withCustomer, setWith] = useState(false);
  const [chosen, setChosen] = useState<string | null>(null);
  const [paper, setPaper] = useState<Paper>("A4");
  const before = chosen ?? repeats ?? "";
  const [busy, setBusy] = useState(false);
  const [packed, setPacked] = useState<CallResult<"packJob"> | null>(null);
  const make = (): void => {
    setBusy(true);
    const request = client.call("packJob", {
      job,
      shop,
      withCustomer,
      before: before === "" ? null : before,
      paper,
    });
    act(request.then(setPacked).finally(() => setBusy(false)));
  };
  return (
    <section className="card form" aria-label="Claim pack">
      <h2>Claim pack</h2>
      <div className="fields">
        <TextField label="Name of the shop" name="shop" value={shop} onChange={setShop} />
        <ReportFields
          paper={paper}
          onPaper={setPaper}
          runs={runs}
          before={before}
          onBefore={setChosen}
        />
      </div>
      {hasCustomer && (
        <label className="check">
          <input
            type="checkbox"
            checked={withCustomer}
            onChange={(event) => setWith(event.target.checked)}
          />
          With the customer's name and contact
        </label>
      )}
      <div>
        <button className="button" data-kind="main" type="button" disabled={busy} onClick={make}>
          {busy ? "Making the pack" : "Make the claim pack"}
        </button>
      </div>
      {packed && <Packed packed={packed} />}
    </section>
  );
}

interface ReportProps {
  readonly paper: Paper;
  readonly onPaper: (paper: Paper) => void;
  readonly runs: Props["runs"];
  readonly before: string;
  readonly onBefore: (job: string) => void;
}

function ReportFields({ paper, onPaper, runs, before, onBefore }: ReportProps) {
  return (
    <>
      <SelectField
        label="Paper of the report"
        value={paper}
        options={PAPERS}
        onChange={(value) => onPaper(value === "Letter" ? "Letter" : "A4")}
      />
      {runs.length > 0 && (
        <SelectField
          label="Run before the repair"
          value={before}
          options={[
            ["", "None beside it"],
            ...runs.map((run) => [run.job, dateText(run.startedAt)] as const),
          ]}
          onChange={onBefore}
        />
      )}
    </>
  );
}

function Packed({ packed }: { readonly packed: CallResult<"packJob"> }) {
  const { client } = useBench();
  const act = useAction();
  const canVerify = useCan("verifyPack");
  const [verified, setVerified] = useState<CallResult<"verifyPack"> | null>(null);
  const verify = (): void =>
    act(client.call("verifyPack", { file: packed.file }).then(setVerified));
  return (
    <div className="form" data-testid="packed" role="status">
      <p>
        <b>{packed.file}</b>: {packed.files} files, {Math.ceil(packed.bytes / 1024)} KiB, signed.
      </p>
      <p className="small">Fingerprint of the shop's key: {packed.fingerprint}</p>
      {packed.warnings.map((words) => (
        <p key={words}>{words}</p>
      ))}
      {canVerify && (
        <div>
          <button className="button" type="button" onClick={verify}>
            Check it as the warranty desk will
          </button>
        </div>
      )}
      {verified && <Checks verified={verified} />}
    </div>
  );
}

const OUTCOMES = { good: "good", bad: "NOT TRUE", absent: "not claimed", open: "not checked" };

function Checks({ verified }: { readonly verified: CallResult<"verifyPack"> }) {
  return (
    <div data-testid="verified" data-good={verified.good ? "yes" : "no"}>
      <p>
        <b>{verified.good ? "Nothing was found wrong." : "This pack is not as it was made."}</b>
      </p>
      <ul>
        {verified.checks.map(({ claim, outcome, words }) => (
          <li key={claim}>
            <b>{OUTCOMES[outcome]}</b> {words}
          </li>
        ))}
      </ul>
    </div>
  );
}
