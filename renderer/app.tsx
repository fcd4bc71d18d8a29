import { BenchScreen } from "./bench/bench-screen.js";
import { CaptionLine } from "./bench/captions.js";
import { BenchBanner, Troubles } from "./bench/troubles.js";
import { Desk } from "./desk/desk.js";
import { useKeys } from "./settings/use-keys.js";
import { useBenchSlice } from "./store/bench-context.js";
import { isAtBench } from "./store/state.js";

/** A run on the bench takes the window; otherwise the desk. */
export function App() {
  const atBench = useBenchSlice(isAtBench);
  const greeted = useBenchSlice((state) => state.calls !== null);
  useKeys();
  return (
    <div className="app">
      <BenchBanner />
      <Troubles />
      <div className="app-body">{atBench ? <BenchScreen /> : greeted && <Desk />}</div>
      <footer className="app-foot">
        <CaptionLine />
      </footer>
    </div>
  );
}
