import { useRef, useState } from "react";
import { useBench } from "../store/bench-context.js";
import { useHasVoice } from "../sound/platform-voice.js";
import { TONE_WORDS } from "../sound/tones.js";
import type { ToneName } from "../sound/tones.js";
import { KeyFields } from "./key-fields.js";
import { changeSettings, useSettings } from "./settings.js";
import type { Settings } from "./settings.js";

/** Opens what is set once on this computer: theme, sound, keys. */
export function SettingsButton() {
  const dialog = useRef<HTMLDialogElement>(null);
  const [open, setOpen] = useState(false);
  const show = (): void => {
    setOpen(true);
    dialog.current?.showModal();
  };
  return (
    <>
      <button className="button small" type="button" onClick={show}>
        Settings
      </button>
      <dialog
        ref={dialog}
        className="settings"
        aria-label="Settings"
        onClose={() => setOpen(false)}
        data-testid="settings"
      >
        {open && <SettingsForm onClose={() => dialog.current?.close()} />}
      </dialog>
    </>
  );
}

const THEMES: readonly (readonly [Settings["theme"], string])[] = [
  ["system", "As this computer is set"],
  ["light", "Light"],
  ["dark", "Dark"],
  ["bench", "Bench: strongest contrast, for a screen in the sun"],
];

function SettingsForm({ onClose }: { readonly onClose: () => void }) {
  const settings = useSettings();
  return (
    <div className="form">
      <h2>Settings</h2>
      <fieldset>
        <legend>Theme</legend>
        <div className="options">
          {THEMES.map(([theme, label]) => (
            <label className="option" key={theme}>
              <input
                type="radio"
                name="theme"
                checked={settings.theme === theme}
                onChange={() => changeSettings({ theme })}
              />
              {label}
            </label>
          ))}
        </div>
      </fieldset>
      <SoundFields settings={settings} />
      <KeyFields keys={settings.keys} />
      <div>
        <button className="button" data-kind="main" type="button" onClick={onClose}>
          Close
        </button>
      </div>
    </div>
  );
}

function SoundFields({ settings }: { readonly settings: Settings }) {
  const { volume, rate, muted, speech } = settings;
  const hasVoice = useHasVoice();
  return (
    <fieldset>
      <legend>Sound and speech</legend>
      <div className="fields">
        <Slider
          label={`Volume ${Math.round(volume * 100)} %`}
          span={[0, 1]}
          value={volume}
          onChange={(to) => changeSettings({ volume: to })}
        />
        <Slider
          label={`Pace of speech ${rate.toFixed(1)}`}
          span={[0.5, 2]}
          value={rate}
          onChange={(to) => changeSettings({ rate: to })}
        />
      </div>
      <Check label="Mute" on={muted} onChange={(to) => changeSettings({ muted: to })} />
      <Check label="Speak" on={speech} onChange={(to) => changeSettings({ speech: to })} />
      {!hasVoice && (
        <p className="small">This computer offers no voice: tones and captions only.</p>
      )}
      <ToneSamples volume={volume} />
    </fieldset>
  );
}

function ToneSamples({ volume }: { readonly volume: number }) {
  const { announcer } = useBench();
  const play = (tone: ToneName) => () => {
    void announcer.wake().then(() => announcer.tones.play(tone, volume));
  };
  return (
    <ul className="tone-samples">
      {(Object.keys(TONE_WORDS) as ToneName[]).map((tone) => (
        <li key={tone}>
          <button className="button small" type="button" onClick={play(tone)}>
            {TONE_WORDS[tone]}
          </button>
        </li>
      ))}
    </ul>
  );
}

interface SliderProps {
  readonly label: string;
  readonly span: readonly [number, number];
  readonly value: number;
  readonly onChange: (value: number) => void;
}

function Slider({ label, span, value, onChange }: SliderProps) {
  return (
    <label className="field">
      <span className="label">{label}</span>
      <input
        type="range"
        min={span[0]}
        max={span[1]}
        step={0.05}
        value={value}
        onChange={(event) => onChange(Number(event.target.value))}
      />
    </label>
  );
}

interface CheckProps {
  readonly label: string;
  readonly on: boolean;
  readonly onChange: (on: boolean) => void;
}

function Check({ label, on, onChange }: CheckProps) {
  return (
    <label className="check">
      <input type="checkbox" checked={on} onChange={(event) => onChange(event.target.checked)} />
      {label}
    </label>
  );
}
