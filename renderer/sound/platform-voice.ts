import { useSyncExternalStore } from "react";
import { getSettings } from "../settings/settings.js";
import type { Voice } from "./speech-queue.js";

/** Units as they are written, for a voice that would spell them. */
const SAID: readonly (readonly [RegExp, string])[] = [
  [/(\d)[\u202f\s]?V\b/g, "$1 volts"],
  [/(\d)[\u202f\s]?A\b/g, "$1 amps"],
  [/(\d)[\u202f\s]?Ω/g, "$1 ohms"],
  [/(\d)[\u202f\s]?%/g, "$1 percent"],
];

/** No voice needs longer than this for a sentence; one that says no end of it has hung. */
const PATIENCE_MS = { base: 5000, perCharacter: 250 } as const;

const engine = "speechSynthesis" in globalThis ? globalThis.speechSynthesis : null;
const listeners = new Set<() => void>();
// Asked once and on change only: a speech server can offer thousands of voices. The first answer is
// empty in browsers that fetch the list in the background.
let voices = engine?.getVoices().length ?? 0;
engine?.addEventListener("voiceschanged", () => {
  voices = engine.getVoices().length;
  for (const listener of listeners) listener();
});

/** The browser may forget an utterance that nobody holds, and then never says that it has ended. */
let held: SpeechSynthesisUtterance | null = null;

/** The computer's own speech. Where it has no voice, sentences end at once and captions remain. */
export const platformVoice: Voice = {
  say(words, done) {
    if (engine === null || voices === 0) {
      done();
      return;
    }
    const { rate, volume } = getSettings();
    const utterance = new SpeechSynthesisUtterance(spoken(words));
    utterance.lang = "en";
    utterance.rate = rate;
    utterance.volume = volume;
    const giveUp = setTimeout(
      () => {
        engine.cancel();
        done();
      },
      (PATIENCE_MS.base + PATIENCE_MS.perCharacter * words.length) / rate,
    );
    utterance.onend = utterance.onerror = () => {
      clearTimeout(giveUp);
      done();
    };
    held = utterance;
    engine.speak(held);
  },
  stop() {
    engine?.cancel();
  },
};

function spoken(words: string): string {
  return SAID.reduce((text, [written, said]) => text.replace(written, said), words);
}

/** Whether this computer has a voice; it can come a moment after the page does. */
export function useHasVoice(): boolean {
  return useSyncExternalStore(
    (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    () => voices > 0,
  );
}
