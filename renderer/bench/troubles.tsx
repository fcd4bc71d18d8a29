import { useBench, useBenchSlice } from "../store/bench-context.js";
import { useNow } from "../store/use-now.js";
import { ageText } from "../view/figures.js";

/** Errors as they came: what happened, what to do, the code. */
export function Troubles() {
  const { store } = useBench();
  const troubles = useBenchSlice((state) => state.troubles);
  if (troubles.length === 0) return null;
  return (
    <div className="troubles" data-testid="troubles">
      {troubles.map((error, at) => (
        <div className="trouble" role="alert" key={at}>
          <p>
            <b>{error.what}</b> {error.action} <span className="small figures">[{error.code}]</span>
          </p>
          <button className="button" type="button" onClick={() => store.dismissTrouble(at)}>
            Seen
          </button>
        </div>
      ))}
    </div>
  );
}

/** Longer than this without a word and the bench hangs; it ticks once a second. */
const SILENCE_MS = 3500;

/** The bench process is gone, or there and mute. */
export function BenchBanner() {
  const link = useBenchSlice((state) => state.link);
  const ticking = useBenchSlice((state) => state.clock !== null);
  const heard_ms = useBenchSlice((state) => state.heard_ms);
  const now_ms = useNow(500, true);
  const quiet_ms = now_ms - (link.state === "open" ? heard_ms : link.since_ms);
  if (link.state === "open" && !(ticking && quiet_ms > SILENCE_MS)) return null;
  const words =
    link.state === "open"
      ? `The bench process has said nothing for ${ageText(quiet_ms / 1000)}. Figures on this screen are old.`
      : link.state === "lost"
        ? `The bench process is gone since ${ageText(quiet_ms / 1000)}. Reconnecting. What was recorded is on disk.`
        : "Connecting to the bench process.";
  return (
    <p className="banner" role="alert" data-testid="bench-banner" data-link={link.state}>
      {words}
    </p>
  );
}
