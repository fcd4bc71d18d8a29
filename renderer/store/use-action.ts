import { toReport } from "../client/fault.js";
import { useBench } from "./bench-context.js";

/** Runs something that talks to the bench; what goes wrong is shown, never lost. */
export function useAction(): (action: Promise<unknown>) => void {
  const { store } = useBench();
  return (action) => {
    action.catch((thrown: unknown) => store.trouble(toReport(thrown)));
  };
}
