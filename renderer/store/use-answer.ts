import { useEffect, useState } from "react";
import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";
import { toReport } from "../client/fault.js";
import { useBench, useBenchSlice } from "./bench-context.js";

/** What became of a question: nothing yet, an answer, or a failure, which is shown as trouble. */
interface Asked<T> {
  readonly answer: T | null;
  readonly failed: boolean;
}

/** Asks on every new connection, and again with every new `turn`; the last answer stays meanwhile. */
export function useAsked<N extends CallName>(
  name: N,
  params: CallParams<N>,
  turn = 0,
): Asked<CallResult<N>> {
  const { client, store } = useBench();
  const open = useBenchSlice((state) => state.link.state === "open");
  const [asked, setAsked] = useState<Asked<CallResult<N>>>({ answer: null, failed: false });
  const question = JSON.stringify(params);
  useEffect(() => {
    if (!open) return;
    let wanted = true;
    client.call(name, JSON.parse(question) as CallParams<N>).then(
      (answer) => {
        if (wanted) setAsked({ answer, failed: false });
      },
      (thrown: unknown) => {
        if (!wanted) return;
        store.trouble(toReport(thrown));
        setAsked({ answer: null, failed: true });
      },
    );
    return () => {
      wanted = false;
    };
  }, [client, store, open, name, question, turn]);
  return asked;
}

/** The answer to a question asked on every new connection; null until it is there. */
export function useAnswer<N extends CallName>(
  name: N,
  params: CallParams<N>,
  turn = 0,
): CallResult<N> | null {
  return useAsked(name, params, turn).answer;
}
