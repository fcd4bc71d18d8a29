import { useEffect, useState } from "react";
import type { CallName, CallParams, CallResult } from "../../workbench/contract/calls.js";
import { toReport } from "../client/fault.js";
import { useBench, useBenchSlice } from "./bench-context.js";

/** The answer to a question asked on every new connection; null until it is there. */
export function useAnswer<N extends CallName>(
  name: N,
  params: CallParams<N>,
): CallResult<N> | null {
  const { client, store } = useBench();
  const open = useBenchSlice((state) => state.link.state === "open");
  const [answer, setAnswer] = useState<CallResult<N> | null>(null);
  const question = JSON.stringify(params);
  useEffect(() => {
    if (!open) return;
    let wanted = true;
    client.call(name, JSON.parse(question) as CallParams<N>).then(
      (result) => {
        if (wanted) setAnswer(result);
      },
      (thrown: unknown) => {
        if (wanted) store.trouble(toReport(thrown));
      },
    );
    return () => {
      wanted = false;
    };
  }, [client, store, open, name, question]);
  return answer;
}
