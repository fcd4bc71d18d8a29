import { changeSettings, useSettings } from "../settings/settings.js";
import { SettingsButton } from "../settings/settings-panel.js";
import { useCaptions } from "../sound/announcer.js";
import { TONE_WORDS } from "../sound/tones.js";
import { useBench, useBenchSlice } from "../store/bench-context.js";
import { isAtBench } from "../store/state.js";

/** What is heard, in writing, always; and the switch that makes it quiet. */
export function CaptionLine() {
  const { announcer } = useBench();
  const { words, tone, asleep } = useCaptions(announcer);
  const { muted } = useSettings();
  // At the desk nothing is being said: the last words of a run would read as a demand of now.
  const atBench = useBenchSlice(isAtBench);
  const mute = (): void => {
    changeSettings({ muted: !muted });
    announcer.silence();
  };
  return (
    <div className="caption-line">
      <p className="caption" data-testid="caption">
        {atBench && words}
      </p>
      {atBench && tone !== null && <p className="small caption-tone">{TONE_WORDS[tone]}</p>}
      {asleep && !muted ? (
        <button className="button small" type="button" onClick={() => void announcer.wake()}>
          Switch sound on
        </button>
      ) : (
        <button className="button small" type="button" aria-pressed={muted} onClick={mute}>
          {muted ? "Muted" : "Mute"}
        </button>
      )}
      <SettingsButton />
    </div>
  );
}
