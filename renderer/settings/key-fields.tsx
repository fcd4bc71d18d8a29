import { useEffect, useState } from "react";
import { changeSettings } from "./settings.js";
import type { KeyAction, Settings } from "./settings.js";

const ACTIONS: readonly (readonly [KeyAction, string])[] = [
  ["confirm", "Yes, done"],
  ["repeat", "Repeat the last step"],
  ["skip", "Skip this step"],
];

/** Any key, or a pedal that types one, for each action. None is needed to run a plan. */
export function KeyFields({ keys }: { readonly keys: Settings["keys"] }) {
  const [asking, setAsking] = useState<KeyAction | null>(null);
  useNextKey(asking, (code) => {
    setAsking(null);
    if (asking !== null && code !== null) changeSettings({ keys: { ...keys, [asking]: code } });
  });
  return (
    <fieldset>
      <legend>Keys and pedals</legend>
      <dl className="key-list">
        {ACTIONS.map(([action, label]) => (
          <div key={action}>
            <dt>{label}</dt>
            <dd>{asking === action ? "Press a key, or Escape" : (keys[action] ?? "none")}</dd>
            <dd>
              <button className="button small" type="button" onClick={() => setAsking(action)}>
                Change<span className="unseen"> the key for: {label}</span>
              </button>{" "}
              <button
                className="button small"
                type="button"
                onClick={() => changeSettings({ keys: { ...keys, [action]: null } })}
              >
                None<span className="unseen"> for: {label}</span>
              </button>
            </dd>
          </div>
        ))}
      </dl>
    </fieldset>
  );
}

/** Takes the next key for itself; Escape gives null. */
function useNextKey(asking: KeyAction | null, take: (code: string | null) => void): void {
  useEffect(() => {
    if (asking === null) return;
    const onKey = (event: KeyboardEvent): void => {
      event.preventDefault();
      event.stopImmediatePropagation();
      take(event.code === "Escape" ? null : event.code);
    };
    window.addEventListener("keydown", onKey, { capture: true });
    return () => window.removeEventListener("keydown", onKey, { capture: true });
  });
}
