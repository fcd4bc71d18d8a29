import { BenchScreen } from "./bench/bench-screen.js";
import { BenchBanner } from "./bench/troubles.js";
import { StartScreen } from "./desk/start-screen.js";
import { useBenchSlice } from "./store/bench-context.js";

/** A run on the bench takes the window; otherwise the desk. */
export function App() {
  const running = useBenchSlice((state) => state.run !== null);
  return (
    <div className="app">
      <BenchBanner />
      <div className="app-body">{running ? <BenchScreen /> : <StartScreen />}</div>
    </div>
  );
}
